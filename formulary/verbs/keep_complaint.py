"""Enter a complaint or reaction about a preparation, and decide it by a signature."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime

from formulary.bench.kept import FilledJar
from formulary.canonical import content_hash
from formulary.desk import Desk
from formulary.errors import NotFound
from formulary.ids import new_id
from formulary.messages import message
from formulary.people import Identity
from formulary.preparation import Preparation
from formulary.register.complaint import Complaint, Nature, Teller, decide, require_sayable
from formulary.signing import Meaning
from formulary.store import Reading
from formulary.verbs.address_preparation import preparation_of
from formulary.verbs.sign_in import signed


@dataclass(frozen=True, slots=True)
class Told:
    """What was told: by whom, of what nature, about which jar (0: not known), in which words.

    ``at`` is when it was told; None means now.
    """

    nature: Nature
    told_by: Teller
    what: str
    jar: int = 0
    at: datetime | None = None


def open_complaint(desk: Desk, lot: str, told: Told) -> Complaint:
    """Enter what was told about a preparation.

    Raises :class:`formulary.errors.NotFound` for an unknown lot, and
    :class:`formulary.errors.BadText` for an empty text, for one that names the patient or
    prescriber, and for a jar that was never filled.
    """
    made = preparation_of(desk, lot)
    jars = list(desk.store.having(FilledJar, preparation_id=made.id))
    complaint = Complaint(
        id=new_id(),
        preparation_id=made.id,
        at=told.at or desk.act().at,
        told_by=told.told_by,
        nature=told.nature,
        what=told.what.strip(),
        entered_by=desk.person.name,
        jar=told.jar,
    )
    names = _names(desk.store, made, jars)
    numbers = [int(jar.id.rpartition("/")[2]) for jar in jars]
    require_sayable(complaint, names, numbers or range(1, made.containers + 1))
    with desk.writing("open_complaint") as writing:
        writing.tell(lot=made.lot, nature=told.nature.value)
        return writing.put(complaint)


def decide_complaint(
    desk: Desk, complaint_id: str, pin: str, decision: str, feedback: str = ""
) -> Complaint:
    """Decide a complaint: what was found and done, and who was told back."""
    desk.may("decide_complaint")
    complaint = desk.store.get(Complaint, complaint_id)
    if complaint is None:
        raise NotFound(message("register.complaint.none_such"))
    signature = signed(desk, pin, Meaning.DECIDED, content_hash(complaint))
    decided = decide(complaint, signature, decision, feedback)
    with desk.writing("decide_complaint") as writing:
        return writing.put(decided)


def complaints_of(store: Reading, preparation_id: str) -> tuple[Complaint, ...]:
    """Return the complaints about a preparation, those to decide first, then the newest."""
    found = store.having(Complaint, preparation_id=preparation_id)
    newest = sorted(found, key=lambda each: each.at, reverse=True)
    return tuple(sorted(newest, key=lambda each: not each.is_open))


def _names(store: Reading, made: Preparation, jars: list[FilledJar]) -> Iterator[str]:
    ids = {made.patient_id, made.prescriber_id, *(jar.recipient_id for jar in jars)} - {""}
    return (each.name for each in store.having_any(Identity, "id", ids))
