"""A moment with its local offset, as the two columns that keep it."""

from __future__ import annotations

from datetime import datetime, timedelta, timezone

_MINUTE = timedelta(minutes=1)


def offset_of(moment: datetime) -> int:
    """Return the moment's offset from UTC in whole minutes."""
    return (moment.utcoffset() or timedelta()) // _MINUTE


def at_offset(moment: datetime, minutes: int) -> datetime:
    """Return the moment as the clock there showed it."""
    return moment.astimezone(timezone(minutes * _MINUTE))
