"""Read all that happened in a period, as an inspector asks for it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from formulary.bench.kept import KeptCheck
from formulary.clock import legal_date
from formulary.desk import Desk
from formulary.equipment import EquipmentNote
from formulary.errors import Refusal
from formulary.formula.version import State, Version
from formulary.messages import message
from formulary.register.complaint import Complaint
from formulary.stock.recall import Recall
from formulary.store import RegisterRow

_PAGE = 200
LONGEST_DAYS = 3660
"""Ten years; a longer period is a slip of the pen."""


@dataclass(frozen=True, slots=True)
class Days:
    """A period, both ends counted."""

    first: date
    last: date

    def hold(self, at: datetime | None, zone: str) -> bool:
        """Tell whether a moment lies in it, by the day it was in the house's zone."""
        return at is not None and self.first <= legal_date(at, zone) <= self.last

    def each(self) -> Iterator[str]:
        """Yield each day in ISO 8601."""
        for number in range((self.last - self.first).days + 1):
            yield (self.first + timedelta(days=number)).isoformat()


@dataclass(frozen=True, slots=True)
class PeriodSeen:
    """What is on record of a period, the oldest first; ``made`` are the preparations' rows."""

    days: Days
    made: tuple[RegisterRow, ...]
    complaints: tuple[Complaint, ...]
    recalls: tuple[Recall, ...]
    versions: tuple[Version, ...]
    checks: tuple[KeptCheck, ...]
    notes: tuple[EquipmentNote, ...]


def days_between(first: date, last: date) -> Days:
    """Return a period. Raises :class:`formulary.errors.Refusal` unless it has an end in reach."""
    if last < first:
        raise Refusal(message("papers.pack.backwards", first=first, last=last))
    if (last - first).days > LONGEST_DAYS:
        raise Refusal(message("papers.pack.too_long", first=first, last=last))
    return Days(first, last)


def read_period(desk: Desk, days: Days) -> PeriodSeen:
    """Return what was started, told, recalled, changed, checked and noted in a period."""
    zone, store = desk.house.zone, desk.store
    return PeriodSeen(
        days=days,
        made=tuple(_made(desk, days)),
        complaints=tuple(e for e in store.every(Complaint) if days.hold(e.at, zone)),
        recalls=tuple(e for e in store.every(Recall) if days.hold(e.begun.at, zone)),
        versions=tuple(sorted(_versions(desk, days), key=_by_code)),
        checks=tuple(store.having_any(KeptCheck, "day", tuple(days.each()))),
        notes=tuple(store.having_any(EquipmentNote, "day", tuple(days.each()))),
    )


def _by_code(version: Version) -> tuple[str, int]:
    return version.content.code, version.number


def _versions(desk: Desk, days: Days) -> Sequence[Version]:
    """Return what was written or put in use in the period; versions of one-offs are among them."""
    zone, names = desk.house.zone, ("id", "written_at", "approved_at")
    rows = desk.store.columns(Version, names, "state", [each.value for each in State])
    wanted = [
        version_id for version_id, *moments in rows if any(days.hold(at, zone) for at in moments)
    ]
    return desk.store.having_any(Version, "id", wanted)


def _made(desk: Desk, days: Days) -> Iterator[RegisterRow]:
    """Yield what was started in the period, oldest first; lots that came to nothing as well."""
    zone, found, offset = desk.house.zone, [], 0
    while rows := desk.store.register(limit=_PAGE, offset=offset):
        found += [each for each in rows if days.hold(each.started_at, zone)]
        if legal_date(rows[-1].started_at, zone) < days.first:
            break
        offset += len(rows)
    yield from reversed(found)
