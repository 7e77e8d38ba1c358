"""The only way to the time of day, so that it can be injected."""

from __future__ import annotations

from datetime import UTC, date, datetime
from typing import Protocol
from zoneinfo import ZoneInfo


class Clock(Protocol):
    """Something that knows the time."""

    def now(self) -> datetime:
        """Return the present moment in UTC."""


class SystemClock:
    """The machine's own clock."""

    def now(self) -> datetime:
        """Return the present moment in UTC."""
        return datetime.now(UTC)


def local(moment: datetime, zone: str) -> datetime:
    """Return the moment with the offset of the house's zone."""
    return moment.astimezone(ZoneInfo(zone))


def legal_date(moment: datetime, zone: str) -> date:
    """Return the calendar day that the moment falls on in the house's zone."""
    return local(moment, zone).date()
