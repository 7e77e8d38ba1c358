"""Hand jars over to a patient or a ward, at once or later from the shelf."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from formulary.bench.events import HandedOver, Recipient
from formulary.desk import Desk
from formulary.errors import Forbidden, Refusal
from formulary.formula.content import Route
from formulary.messages import message
from formulary.patient import PatientDetails
from formulary.people import Identity, Part
from formulary.preparation import Preparation
from formulary.store import Reading, Writing
from formulary.verbs.start_preparation import identify
from formulary.verbs.work_at_bench import AtBench, at_bench, followed, require_seen


@dataclass(frozen=True, slots=True)
class Given:
    """To whom jars go: a patient by name and telephone, or a ward."""

    patient: str = ""
    telephone: str = ""
    ward: str = ""


def hand_over_jars(  # noqa: PLR0913  to whom jars go, each by name
    desk: Desk,
    lot: str,
    jars: Sequence[int],
    *,
    patient: str = "",
    telephone: str = "",
    ward: str = "",
    seen: int | None = None,
) -> AtBench:
    """Hand over jars of a released preparation, by their numbers.

    ``patient`` is a name that goes into the identity table alone, with the ``telephone`` at which
    a recall reaches them; ``ward`` is kept as it is written. Without either they go to the patient
    whom the preparation was made for. Raises :class:`formulary.errors.Refusal` for a jar that is
    gone, held or past its date, and :class:`formulary.errors.Forbidden` for a patient whom it
    wasn't made for; and :class:`formulary.errors.Conflict` where more happened than was ``seen``.
    """
    with desk.writing("hand_over") as writing:
        work = at_bench(writing, lot)
        require_seen(work, seen)
        _require_fit(desk, work)
        recipient, recipient_id = _recipient(
            writing, work.preparation, Given(patient, telephone.strip(), ward)
        )
        for jar in dict.fromkeys(jars):
            work = followed(desk, writing, work, HandedOver(jar, recipient, recipient_id))
        return work


def _require_fit(desk: Desk, work: AtBench) -> None:
    made = work.preparation
    if work.content.route is Route.NOT_A_MEDICINE:
        raise Refusal(message("verbs.hand_over_no_medicine", lot=made.lot))
    if desk.today > made.use_by:
        raise Refusal(message("verbs.hand_over_too_old", lot=made.lot, use_by=made.use_by))


def _recipient(writing: Writing, made: Preparation, to: Given) -> tuple[Recipient, str]:
    if to.patient.strip() and to.ward.strip():
        raise Refusal(message("verbs.hand_over_to_one"))
    if to.ward.strip():
        if to.telephone:
            raise Refusal(message("verbs.hand_over_telephone_of_ward"))
        return Recipient.WARD, to.ward.strip()
    if made.patient_id:
        _require_same(writing, made, to.patient)
        return Recipient.PATIENT, made.patient_id
    if not to.patient.strip():
        raise Refusal(message("verbs.hand_over_to_whom"))
    details = PatientDetails(telephone=to.telephone) if to.telephone else None
    return Recipient.PATIENT, identify(writing, Part.PATIENT, to.patient, details)


def _require_same(store: Reading, made: Preparation, patient: str) -> None:
    """Refuse another patient's name than that of whom it was made for; an erased one is trusted."""
    known = store.get(Identity, made.patient_id)
    if patient.strip() and known is not None and _folded(patient) != _folded(known.name):
        raise Forbidden(message("verbs.hand_over_other_patient", lot=made.lot))


def _folded(name: str) -> str:
    return " ".join(name.casefold().split())
