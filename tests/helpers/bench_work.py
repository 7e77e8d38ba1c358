"""A preparation taken through the bench in one go, where a test is about what comes after."""

from __future__ import annotations

from datetime import datetime

from formulary.bench.events import (
    Answer,
    BenchCleared,
    ContainersFilled,
    LineWeighed,
    PlanChecked,
    StepDone,
    YieldTaken,
)
from formulary.bench.method import opening_step
from formulary.bench.original import Original
from formulary.bench.reading import Reading
from formulary.desk import Desk
from formulary.formula.content import Asked
from formulary.people import Person
from formulary.preparation import Preparation
from formulary.verbs.work_at_bench import AtBench, Backing, at_bench, record
from tests.helpers.desks import ADA, BEN, PIN, at


def packed(
    desk: Desk,
    made: Preparation,
    checker: Person | None = None,
    pin: str = PIN,
    *,
    on_paper: datetime | None = None,
) -> Preparation:
    """Check, clear, weigh each line exactly, follow the steps and fill the ordered containers."""
    lot = made.lot
    cleared(desk, lot, checker, pin, on_paper=on_paper)
    own = _backing(desk.person, on_paper)
    work = _weighed(desk, at_bench(desk.store, lot), None, own)
    for step in range(len(work.content.steps)):
        _weighed(desk, work, step, own)
        record(desk, lot, step_done(work, step), **own)
    record(desk, lot, YieldTaken(work.state.job.plan.total, inside=True), **own)
    fill = tuple(made.fill for _ in range(made.containers))
    return record(desk, lot, ContainersFilled(fill), **own).preparation


def cleared(
    desk: Desk,
    lot: str,
    checker: Person | None = None,
    pin: str = PIN,
    *,
    on_paper: datetime | None = None,
) -> None:
    """Let another person check the plan, and clear the bench."""
    by = checker or (ADA if desk.person.id == BEN.id else BEN)
    own, checked = _backing(desk.person, on_paper), _backing(by, on_paper)
    checked["pin"] = pin
    record(at(desk, by), lot, PlanChecked(), **checked)
    record(desk, lot, BenchCleared(at_bench(desk.store, lot).job.clearance), **own)


def step_done(work: AtBench, step: int) -> StepDone:
    """Return a step as done, with the minutes and the temperature noted that it asks for."""
    asking = work.state.job.method.steps[step]
    minutes = asking.minutes
    noted = () if minutes is None else (Answer(Asked.TIME, minutes.shortest),)
    warm = tuple(
        Answer(each.what, each.highest if each.lowest is None else each.lowest)
        for each in asking.asks
        if each.what is Asked.TEMPERATURE
    )
    return StepDone(step, (*noted, *warm))


def _backing(person: Person, on_paper: datetime | None) -> Backing:
    if on_paper is None:
        return {}
    return {"original": Original(on_paper, person.id, person.name)}


def _weighed(desk: Desk, work: AtBench, step: int | None, backing: Backing) -> AtBench:
    """Weigh what goes in at a step, or in a method without steps."""
    for position, line in enumerate(work.state.job.plan.lines):
        opening = opening_step(work.state.job.method, position)
        if line.to_measure is not None and opening == step:
            reading = Reading(line.to_measure, line.instrument or "large")
            record(desk, work.preparation.lot, LineWeighed(position, reading), **backing)
    return at_bench(desk.store, work.preparation.lot)
