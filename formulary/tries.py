"""Wrong PINs on record, and how long the next try must wait."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import datetime, timedelta

from formulary.errors import Forbidden
from formulary.messages import message

FREE = 3
"""Wrong tries in a row that cost no waiting."""
LONGEST = timedelta(minutes=15)
_FIRST = timedelta(seconds=5)


@dataclass(frozen=True, slots=True)
class Tries:
    """How often somebody's PIN was typed wrong in a row, and when last; its id is the person's."""

    id: str
    wrong: int
    last_at: datetime
    revision: int = 0

    @property
    def free_at(self) -> datetime:
        """Return when the next try may be made: each wrong one doubles the waiting."""
        if self.wrong < FREE:
            return self.last_at
        return self.last_at + min(_FIRST * (1 << min(self.wrong - FREE, 20)), LONGEST)


def one_more(tries: Tries | None, person_id: str, now: datetime) -> Tries:
    """Return the tries after another wrong one."""
    if tries is None:
        return Tries(person_id, 1, now)
    return replace(tries, wrong=tries.wrong + 1, last_at=now)


def require_patience(tries: Tries | None, now: datetime) -> None:
    """Raise :class:`formulary.errors.Forbidden` while the next try must wait."""
    if tries is not None and now < tries.free_at:
        seconds = -(-(tries.free_at - now) // timedelta(seconds=1))
        raise Forbidden(message("people.wait", n=seconds))
