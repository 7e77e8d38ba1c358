"""A preparation taken through the bench in one go, where a test is about what comes after."""

from __future__ import annotations

from formulary.bench.events import (
    BenchCleared,
    ContainersFilled,
    LineWeighed,
    PlanChecked,
    StepDone,
    YieldTaken,
)
from formulary.bench.reading import Reading
from formulary.desk import Desk
from formulary.people import Person
from formulary.preparation import Preparation
from formulary.verbs.work_at_bench import AtBench, at_bench, record
from tests.helpers.desks import ADA, BEN, PIN, at


def packed(
    desk: Desk, made: Preparation, checker: Person | None = None, pin: str = PIN
) -> Preparation:
    """Check, clear, weigh each line exactly, follow the steps and fill the ordered containers."""
    lot = made.lot
    other = ADA if desk.person.id == BEN.id else BEN
    record(at(desk, checker or other), lot, PlanChecked(), pin=pin)
    record(desk, lot, BenchCleared(at_bench(desk.store, lot).job.clearance))
    work = _weighed(desk, at_bench(desk.store, lot))
    for step in range(len(work.content.steps)):
        record(desk, lot, StepDone(step))
    record(desk, lot, YieldTaken(work.state.job.plan.total, inside=True))
    fill = tuple(made.fill for _ in range(made.containers))
    return record(desk, lot, ContainersFilled(fill)).preparation


def _weighed(desk: Desk, work: AtBench) -> AtBench:
    for position, line in enumerate(work.state.job.plan.lines):
        if line.to_measure is not None:
            reading = Reading(line.to_measure, line.instrument or "large")
            record(desk, work.preparation.lot, LineWeighed(position, reading))
    return at_bench(desk.store, work.preparation.lot)
