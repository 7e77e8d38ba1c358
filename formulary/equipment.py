"""Instruments, machines and the room: what is noted of them, and what keeps from using one."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from enum import StrEnum
from fractions import Fraction

from formulary.house import Instrument, InstrumentKind
from formulary.messages import Message, message

ROOM = ""
"""The subject of what is noted of the room itself."""


class Noted(StrEnum):
    """What can be noted of an instrument, a machine or the room."""

    CLEANED = "cleaned"
    READ = "read"
    FAULTY = "faulty"
    MENDED = "mended"
    CALIBRATED = "calibrated"


@dataclass(frozen=True, slots=True)
class EquipmentNote:
    """One entry of the log; ``subject`` is an instrument's name, :data:`ROOM` for the room.

    ``day`` is the house's, in ISO 8601; ``degrees`` in °C and ``humidity`` in per cent are what was
    read, None where nothing was. ``note`` says what with, or what is wrong.
    """

    id: str
    subject: str
    day: str
    what: Noted
    at: datetime
    person_id: str
    person: str
    degrees: Fraction | None = None
    humidity: Fraction | None = None
    note: str = ""
    revision: int = 0

    @property
    def said(self) -> Message:
        """Return it in words: when, what, what was read, and by whom."""
        said = message(
            f"equipment.noted.{self.what.value}",
            subject=self.subject or message("equipment.room"),
            at=self.at,
            read=tuple(self._read()),
            person=self.person,
        )
        return message("equipment.with_note", said=said, note=self.note) if self.note else said

    def _read(self) -> Iterator[Message]:
        if self.degrees is not None:
            yield message("equipment.degrees", degrees=self.degrees)
        if self.humidity is not None:
            yield message("equipment.humidity", humidity=self.humidity)


def is_faulty(notes: Iterable[EquipmentNote]) -> bool:
    """Tell whether something is out of order by its log: faulty, and not mended since."""
    verdicts = [each for each in notes if each.what in (Noted.FAULTY, Noted.MENDED)]
    last = max(verdicts, key=lambda each: each.at, default=None)
    return last is not None and last.what is Noted.FAULTY


def why_unfit(
    instrument: Instrument, notes: Iterable[EquipmentNote], today: date
) -> Message | None:
    """Return why nothing may be read on an instrument today, None where it is fit."""
    if is_faulty(notes):
        return message("equipment.faulty", name=instrument.name)
    if instrument.due is not None and instrument.due < today:
        return message("equipment.overdue", name=instrument.name, due=instrument.due)
    return None


def none_fit(
    instruments: Iterable[Instrument],
    kind: InstrumentKind,
    notes: Sequence[EquipmentNote],
    today: date,
) -> tuple[Message, ...]:
    """Return why none of a kind can be used today; nothing where one is fit, or none is listed."""
    reasons = []
    for each in instruments:
        if each.use is kind:
            own = [note for note in notes if note.subject == each.name]
            reasons.append(why_unfit(each, own, today))
    if any(reason is None for reason in reasons):
        return ()
    return tuple(reason for reason in reasons if reason is not None)
