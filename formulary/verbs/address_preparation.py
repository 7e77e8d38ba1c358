"""Say for whom a preparation is and how it is used, until its first label is printed."""

from __future__ import annotations

from dataclasses import replace

from formulary.desk import Desk
from formulary.errors import Forbidden, NotFound
from formulary.messages import message
from formulary.people import Part
from formulary.preparation import Preparation, Stage
from formulary.verbs.start_preparation import identify


def preparation_of(desk: Desk, lot: str) -> Preparation:
    """Return the preparation with that lot. Raises :class:`formulary.errors.NotFound`."""
    found = desk.store.preparation(lot.strip())
    if found is None:
        raise NotFound(message("verbs.no_such_lot", lot=lot.strip()))
    return found


def address_preparation(
    desk: Desk, lot: str, directions: str = "", patient: str = "", prescriber: str = ""
) -> Preparation:
    """Keep directions, patient and prescriber with a started preparation.

    Raises :class:`formulary.errors.Forbidden` once a label has been printed, since a printed
    label is never edited.
    """
    preparation = preparation_of(desk, lot)
    if preparation.stage is not Stage.STARTED:
        raise Forbidden(message("verbs.already_labelled", lot=preparation.lot))
    with desk.writing("address_preparation") as writing:
        writing.tell(lot=preparation.lot)
        return writing.put(
            replace(
                preparation,
                directions=directions.strip(),
                patient_id=identify(writing, Part.PATIENT, patient),
                prescriber_id=identify(writing, Part.PRESCRIBER, prescriber),
            )
        )
