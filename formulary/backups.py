"""Backups: how their files are called, which ones are kept, and when one is due.

A name says when the copy was made and where the history ended in it, so that a folder of backups
is a list of anchors for the check of the history. Pure.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Hashable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, time, timedelta
from pathlib import Path, PurePath

from formulary.errors import BadText
from formulary.messages import message
from formulary.verifying import Anchor

SHOWN = 16
"""So many digits of a hash stand in a name and on papers."""

SHORTEST_PHRASE = 8
"""Characters of a passphrase; NIST SP 800-63B, 5.1.1.1 asks for as many (from memory)."""

_NAME = re.compile(
    rf"misce-(?P<at>\d{{8}}T\d{{6}})Z-(?P<number>\d+)-(?P<hash>[0-9a-f]{{{SHOWN}}})"
    r"\.backup(?P<locked>\.age)?"
)
_MOMENT = "%Y%m%dT%H%M%S"
_ASIDE = re.compile(r"\.(?:replaced|moved)-\d{8}T\d{6}(?:\.|$)")


@dataclass(frozen=True, slots=True)
class Backup:
    """What a backup's name says of it; ``locked`` with a passphrase or not."""

    at: datetime
    number: int
    hash: str
    locked: bool = False

    @property
    def name(self) -> str:
        """The file's name."""
        ending = ".backup.age" if self.locked else ".backup"
        at = self.at.astimezone(UTC).strftime(_MOMENT)
        return f"misce-{at}Z-{self.number}-{self.hash[:SHOWN]}{ending}"

    @property
    def anchor(self) -> Anchor:
        """The end of the history in it."""
        return Anchor(self.number, self.hash[:SHOWN], self.name)


def named(name: str) -> Backup | None:
    """Return what a file's name says, None for one that is no backup."""
    found = _NAME.fullmatch(name)
    if found is None:
        return None
    try:
        at = datetime.strptime(found["at"], _MOMENT).replace(tzinfo=UTC)
    except ValueError:
        return None
    return Backup(at, int(found["number"]), found["hash"], found["locked"] is not None)


def folder_of(formulary: Path) -> Path:
    """Return the folder beside a formulary in which its backups are kept unless said otherwise."""
    return formulary.with_name(f"{formulary.stem}.backups")


def folder_for(formulary: Path, chosen: str) -> Path:
    """Return the folder that a house has chosen for its backups, else the one beside it."""
    return Path(chosen) if chosen else folder_of(formulary)


def aside_name(name: str, what: str, now: datetime) -> str:
    """Return the name of a formulary that is put aside: what became of it, and when."""
    path = PurePath(name)
    return f"{path.stem}.{what}-{now.strftime(_MOMENT)}{path.suffix}"


def is_put_aside(name: str) -> bool:
    """Tell whether a file's name says that the formulary in it was put aside."""
    return _ASIDE.search(name) is not None


@dataclass(frozen=True, slots=True)
class BackupPlan:
    """When backups are made, where, and how many are kept.

    One is due every so many hours (never where that is 0), each day from ``daily_at`` on
    (``18:30``, local; nothing for no such time), and ``at_closing``. Kept are the newest ones, and
    the newest of each day, week and month. Without a good one for ``remind_days`` somebody is
    reminded. Without a ``folder`` they lie beside the formulary.
    """

    newest: int = 5
    days: int = 7
    weeks: int = 5
    months: int = 12
    every_hours: int = 4
    remind_days: int = 3
    daily_at: str = ""
    at_closing: bool = False
    folder: str = ""

    def due(self, latest: datetime | None, now: datetime) -> bool:
        """Tell whether a backup is to be made now; ``now`` in the house's zone."""
        if self.every_hours and (
            latest is None or now - latest >= timedelta(hours=self.every_hours)
        ):
            return True
        if not self.daily_at:
            return False
        at = datetime.combine(now.date(), time.fromisoformat(self.daily_at), now.tzinfo)
        return now >= at and (latest is None or latest < at)

    def overdue(self, latest: datetime | None, now: datetime) -> bool:
        """Tell whether the newest good backup is so old that somebody must hear of it."""
        return latest is None or now - latest >= timedelta(days=self.remind_days)

    def dropped(self, backups: Iterable[Backup]) -> Sequence[Backup]:
        """Return the backups that needn't be kept any longer, oldest first."""
        in_order = sorted(backups, key=lambda each: each.at, reverse=True)
        kept = {*in_order[: self.newest]}
        for most, period in self._periods():
            kept |= {*_newest_of_each(in_order, period, most)}
        return [each for each in reversed(in_order) if each not in kept]

    def _periods(self) -> Iterator[tuple[int, Callable[[Backup], Hashable]]]:
        yield self.days, lambda each: each.at.date()
        yield self.weeks, lambda each: each.at.isocalendar()[:2]
        yield self.months, lambda each: (each.at.year, each.at.month)


def require_sound(phrase: str) -> None:
    """Raise :class:`formulary.errors.BadText` for a passphrase that would be guessed soon."""
    if len(phrase) < SHORTEST_PHRASE:
        raise BadText(message("store.backup.phrase_short", n=SHORTEST_PHRASE))


def _newest_of_each(
    in_order: Iterable[Backup], period: Callable[[Backup], Hashable], most: int
) -> list[Backup]:
    """Return the newest backup of each of the latest periods that have one."""
    found: dict[Hashable, Backup] = {}
    for each in in_order:
        found.setdefault(period(each), each)
    return [*found.values()][:most]
