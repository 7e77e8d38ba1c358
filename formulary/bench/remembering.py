"""From a preparation's kept events back to where it stands, and a new event into keeping."""

from __future__ import annotations

from collections.abc import Iterable

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
    )


def state_of(content: Content, job: BenchJob, events: Iterable[BenchEvent]) -> State:
    """Return where a preparation stands by all that happened to it."""
    return follow_all(requested(content, job), map(recorded, events))


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
        trial=job.trial,
    )
