"""Confirmations given so fast that nobody can have looked."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import timedelta
from itertools import pairwise

from formulary.bench import events
from formulary.bench.events import Event, Recorded

LEAST = timedelta(seconds=2)
"""Less time than this before a confirmation is no look (common practice, no source)."""
CONFIRMATIONS: tuple[type[Event], ...] = (
    events.PlanChecked,
    events.BenchCleared,
    events.LineChecked,
    events.StepDone,
    events.QualityTested,
    events.LabelsReconciled,
    events.SentForRelease,
    events.Released,
)
"""What says that something was looked at or done, and is given by one key."""


def rushed(happened: Iterable[Recorded]) -> tuple[Recorded, ...]:
    """Return the confirmations that came within two seconds of what was recorded before.

    What was done on paper first is left out: it is entered as fast as one types.
    """
    return tuple(
        after
        for before, after in pairwise(happened)
        if isinstance(after.event, CONFIRMATIONS)
        and after.original is None
        and after.at - before.at < LEAST
    )
