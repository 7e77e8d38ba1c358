"""From a preparation's kept events back to where it stands, and a new event into keeping."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from formulary.bench.event_text import event_of, event_text
from formulary.bench.events import Recorded
from formulary.bench.fold import follow_all
from formulary.bench.kept import BenchEvent, BenchJob
from formulary.bench.state import State, begin
from formulary.formula.content import Content
from formulary.house import House


def kept(recorded: Recorded, preparation_id: str) -> BenchEvent:
    """Return an event for keeping: no two of a preparation have one number."""
    return BenchEvent(
        id=f"{preparation_id}/{recorded.number:05d}",
        preparation_id=preparation_id,
        number=recorded.number,
        at=recorded.at,
        person_id=recorded.person_id,
        person=recorded.person,
        post=recorded.post,
        event=event_text(recorded.event),
        signature=recorded.signature,
        original=recorded.original,
    )


def recorded(event: BenchEvent) -> Recorded:
    """Return a kept event as it happened. Raises :class:`formulary.errors.BadText`."""
    return Recorded(
        event.number,
        event.at,
        event.person_id,
        event.person,
        event.post,
        event_of(event.event),
        event.signature,
        event.original,
    )


@dataclass(frozen=True, slots=True)
class _Known:
    """Where a preparation stood when it was last asked for."""

    content: Content
    job: BenchJob
    events: tuple[BenchEvent, ...]
    state: State

    def precedes(self, content: Content, job: BenchJob, events: tuple[BenchEvent, ...]) -> bool:
        """Tell whether it is what came of the first of these events."""
        same = self.content is content and self.job is job
        return same and events[: len(self.events)] == self.events


_MOST_KNOWN = 64
_known: dict[str, _Known] = {}
"""By preparation. Nothing kept ever changes, so what was worked out stays right."""


def state_of(content: Content, job: BenchJob, events: Iterable[BenchEvent]) -> State:
    """Return where a preparation stands by all that happened to it.

    Only what happened since it was last asked for is followed: the bench waits for this.
    """
    happened, known = tuple(events), _known.get(job.id)
    if known is None or not known.precedes(content, job, happened):
        known = _Known(content, job, (), requested(content, job))
    rest = happened[len(known.events) :]
    state = follow_all(known.state, map(recorded, rest))
    if len(_known) >= _MOST_KNOWN:
        _known.clear()
    _known[job.id] = _Known(content, job, happened, state)
    return state


def requested(content: Content, job: BenchJob) -> State:
    """Return a preparation to which nothing happened yet."""
    return begin(
        content,
        job.plan,
        containers=job.containers,
        house=House("", "", balances=job.balances, measures=job.measures),
        clearance=job.clearance,
        workstation=job.workstation,
        high_alert=job.high_alert,
        needs_check=job.needs_check,
        controlled=job.controlled,
        trial=job.trial,
        tests=job.tests,
    )
