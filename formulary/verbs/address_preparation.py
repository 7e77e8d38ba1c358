"""Say for whom a preparation is and how it is used, until it is packed."""

from __future__ import annotations

from dataclasses import replace

from formulary.bench.stages import Stage, is_earlier
from formulary.desk import Desk
from formulary.errors import Forbidden, NotFound
from formulary.messages import message
from formulary.people import Part
from formulary.preparation import Preparation
from formulary.verbs.own_language import require_own_language
from formulary.verbs.start_preparation import identify
from formulary.wording.directions import Dosing


def preparation_of(desk: Desk, lot: str) -> Preparation:
    """Return the preparation with that lot. Raises :class:`formulary.errors.NotFound`."""
    found = desk.store.preparation(lot.strip())
    if found is None:
        raise NotFound(message("verbs.no_such_lot", lot=lot.strip()))
    return found


def address_preparation(  # noqa: PLR0913  what is said of a preparation, each by name
    desk: Desk,
    lot: str,
    directions: str = "",
    patient: str = "",
    prescriber: str = "",
    *,
    language: str = "",
    dosing: Dosing | None = None,
) -> Preparation:
    """Keep directions, patient, prescriber and the patient's language with a preparation.

    Raises :class:`formulary.errors.Refusal` where the same typed directions would pass for another
    language's; :class:`formulary.errors.Forbidden` once it is packed, as its labels say it from
    then on, and for one that an order says it of.
    """
    preparation = preparation_of(desk, lot)
    if not is_earlier(preparation.stage, Stage.PACKED):
        raise Forbidden(message("verbs.already_labelled", lot=preparation.lot))
    if preparation.order_id:
        raise Forbidden(message("verbs.addressed_by_order", lot=preparation.lot))
    said = replace(preparation, directions=directions.strip(), language=language, dosing=dosing)
    require_own_language(desk.house, preparation, said)
    with desk.writing("address_preparation") as writing:
        writing.tell(lot=preparation.lot)
        return writing.put(
            replace(
                said,
                patient_id=identify(writing, Part.PATIENT, patient),
                prescriber_id=identify(writing, Part.PRESCRIBER, prescriber),
            )
        )
