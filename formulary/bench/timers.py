"""Timers that keep running whatever happens: all they know is the moment they were started."""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import datetime, timedelta
from fractions import Fraction

from formulary.formula.content import MethodStep

_NUMBER = r"[0-9]+(?:\.[0-9]+)?"
_SPAN = re.compile(rf"(?P<low>{_NUMBER})(?: to (?P<high>{_NUMBER}))? ?(?P<unit>min|h)")
_MINUTES = {"min": 1, "h": 60}


@dataclass(frozen=True, slots=True)
class Minutes:
    """How long a step takes: at least ``shortest``, at most ``longest`` where that is said."""

    shortest: Fraction
    longest: Fraction | None = None


@dataclass(frozen=True, slots=True)
class Timer:
    """A timer as it was started, for a step of the method or on its own."""

    number: int
    name: str
    started_at: datetime
    minutes: Fraction
    step: int | None = None
    stopped_at: datetime | None = None

    @property
    def ends_at(self) -> datetime:
        """The moment at which its time is up."""
        return self.started_at + as_time(self.minutes)

    @property
    def is_running(self) -> bool:
        """Whether nobody has stopped it; one whose time is up runs on until somebody does."""
        return self.stopped_at is None

    def remaining(self, at: datetime) -> timedelta:
        """Return the time left at a moment, below zero once it is up."""
        return self.ends_at - self._until(at)

    def elapsed(self, at: datetime) -> timedelta:
        """Return how long it has run at a moment."""
        return self._until(at) - self.started_at

    def is_up(self, at: datetime) -> bool:
        """Tell whether its time is up at a moment."""
        return self.remaining(at) <= timedelta()

    def _until(self, at: datetime) -> datetime:
        return at if self.stopped_at is None else min(at, self.stopped_at)


def as_time(minutes: Fraction) -> timedelta:
    """Return minutes as a span of time, to the microsecond, never shorter."""
    microseconds = minutes * 60_000_000
    return timedelta(microseconds=-(-microseconds.numerator // microseconds.denominator))


def minutes_of(step: MethodStep) -> Minutes | None:
    """Return how long a step takes: its timer, or what its time says ("30 to 40 min", "2 h")."""
    if step.minutes is not None:
        return Minutes(step.minutes)
    found = _SPAN.fullmatch(step.time.strip())
    if found is None:
        return None
    per_unit = _MINUTES[found["unit"]]
    longest = found["high"] and Fraction(found["high"]) * per_unit
    return Minutes(Fraction(found["low"]) * per_unit, longest or None)
