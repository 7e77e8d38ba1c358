"""Note that something was cleaned, read, found faulty, mended or calibrated; and what is seen."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from formulary.bench.stages import Stage
from formulary.desk import Desk
from formulary.equipment import ROOM, EquipmentNote, Noted, why_unfit
from formulary.errors import NotFound, Refusal
from formulary.ids import new_id
from formulary.messages import Message, message
from formulary.preparation import Preparation


def note_equipment(
    desk: Desk,
    subject: str,
    what: Noted,
    *,
    degrees: Fraction | None = None,
    humidity: Fraction | None = None,
    note: str = "",
) -> EquipmentNote:
    """Keep an entry of the log of the room or of something that the house has on its list.

    Raises :class:`formulary.errors.NotFound` for something that isn't there, and
    :class:`formulary.errors.Refusal` for a reading without a figure, a fault without a word or a
    calibration without its certificate.
    """
    if subject != ROOM and subject not in subjects(desk):
        raise NotFound(message("equipment.unknown", name=subject))
    if what is Noted.READ and degrees is None and humidity is None:
        raise Refusal(message("equipment.nothing_read"))
    if what is Noted.FAULTY and not note.strip():
        raise Refusal(message("equipment.fault_unsaid"))
    if what is Noted.CALIBRATED and not note.strip():
        raise Refusal(message("equipment.certificate_unsaid"))
    entry = EquipmentNote(
        id=new_id(),
        subject=subject,
        day=desk.today.isoformat(),
        what=what,
        at=desk.act().at,
        person_id=desk.person.id,
        person=desk.person.name,
        degrees=degrees,
        humidity=humidity,
        note=note.strip(),
    )
    with desk.writing("note_equipment") as writing:
        return writing.put(entry)


def subjects(desk: Desk) -> tuple[str, ...]:
    """Return the names of what is cleaned and checked: instruments and balances."""
    house = desk.house
    instruments = [each.name for each in house.instruments]
    return (*instruments, *(each.name for each in house.balances))


@dataclass(frozen=True, slots=True)
class Surroundings:
    """What is seen before work begins: what was made here last, the room today, what isn't fit.

    ``before`` is empty at a bench where nothing was made yet; ``notes`` are the last entry of
    today's log for each thing.
    """

    before: str
    room: EquipmentNote | None
    notes: tuple[EquipmentNote, ...]
    unfit: tuple[Message, ...]


def surroundings(desk: Desk, preparation: Preparation) -> Surroundings:
    """Return what is seen before this preparation's bench is cleared."""
    today = desk.store.having(EquipmentNote, day=desk.today.isoformat())
    last = {each.subject: each for each in sorted(today, key=lambda each: each.at)}
    every = desk.store.every(EquipmentNote)
    reasons = (
        why_unfit(each, [note for note in every if note.subject == each.name], desk.today)
        for each in desk.house.instruments
    )
    return Surroundings(
        _before(desk, preparation),
        last.pop(ROOM, None),
        tuple(last.values()),
        tuple(each for each in reasons if each is not None),
    )


_ON_PAPER = (Stage.REQUESTED, Stage.PLANNED, Stage.PLAN_CHECKED)
"""Where nothing was on the bench yet."""


def _before(desk: Desk, preparation: Preparation) -> str:
    """Return the lot that was started here last before this one; what is only planned isn't."""
    names = ("started_at", "lot", "title", "stage")
    rows = desk.store.columns(Preparation, names, "workstation", (preparation.workstation,))
    others = [row[:3] for row in rows if row[1] != preparation.lot and row[3] not in _ON_PAPER]
    return " ".join(max(others)[1:]) if others else ""
