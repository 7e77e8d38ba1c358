"""Read the log of the room, of instruments and of balances: how each stands today."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date

from formulary.bench.balance_checks import why_not
from formulary.desk import Desk
from formulary.equipment import ROOM, EquipmentNote, Noted, is_faulty, why_unfit
from formulary.messages import Message, message
from formulary.verbs.check_balance import checks_on, entry_of


@dataclass(frozen=True, slots=True)
class Kept:
    """Something whose log is kept, under its name, :data:`ROOM` for the room.

    ``notes`` are its entries, the newest first. ``due`` is the last day on which it may be used
    without being checked anew, ``unfit`` why nothing is read or weighed on it today.
    """

    name: str
    notes: tuple[EquipmentNote, ...]
    due: date | None = None
    unfit: Message | None = None

    def last(self, what: Noted) -> EquipmentNote | None:
        """Return its last entry of a kind."""
        return next((each for each in self.notes if each.what is what), None)


def read_equipment(desk: Desk) -> tuple[Kept, ...]:
    """Return the room first, then instruments and balances as the house lists them."""
    newest = sorted(desk.store.every(EquipmentNote), key=lambda each: each.at, reverse=True)
    return tuple(_each(desk.for_one_act(), newest))


def _each(desk: Desk, newest: Sequence[EquipmentNote]) -> Iterator[Kept]:
    def notes_of(name: str) -> tuple[EquipmentNote, ...]:
        return tuple(each for each in newest if each.subject == name)

    today, checks = desk.today, checks_on(desk.store, desk.today)
    yield Kept(ROOM, notes_of(ROOM))
    for instrument in desk.house.instruments:
        notes = notes_of(instrument.name)
        unfit = why_unfit(instrument, notes, today)
        yield Kept(instrument.name, notes, instrument.due, unfit)
    for balance in desk.house.balances:
        notes = notes_of(balance.name)
        unfit = why_not(entry_of(balance), checks, today)
        if is_faulty(notes):
            unfit = message("equipment.faulty", name=balance.name)
        yield Kept(balance.name, notes, balance.calibration_due, unfit)
