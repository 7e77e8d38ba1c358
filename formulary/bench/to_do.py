"""What can be done at the bench now, the next thing first; everything else waits for something."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from typing import TypeAlias

from formulary.bench.events import Way
from formulary.bench.method import BenchStep, closing_step, opening_step
from formulary.bench.rules_mixtures import lacks_mixture
from formulary.bench.stages import Stage
from formulary.bench.state import State
from formulary.bench.weighing import LineState, Standing, is_finished, standing


@dataclass(frozen=True, slots=True)
class LiftHold:
    """It is on hold, and nothing else is done to it."""


@dataclass(frozen=True, slots=True)
class Continue:
    """Somebody left the work, and takes it up again."""


@dataclass(frozen=True, slots=True)
class EnterBlank:
    """A blank waits for what was written on it."""


@dataclass(frozen=True, slots=True)
class CheckPlan:
    """Another person goes through the plan."""


@dataclass(frozen=True, slots=True)
class ClearBench:
    """The house's list is ticked."""


@dataclass(frozen=True, slots=True)
class DecideLine:
    """A line holds too much; a pharmacist decides, and until then the work stops."""

    line: int


@dataclass(frozen=True, slots=True)
class TareVessel:
    """The vessel of a phase is weighed empty; where nothing is mixed in one, it is left out."""

    phase: str


@dataclass(frozen=True, slots=True)
class WeighLine:
    """A line is weighed or measured."""

    line: int


@dataclass(frozen=True, slots=True)
class MakeMixture:
    """A trituration, dilution or stock solution is made, of which a line is a part."""

    line: int


@dataclass(frozen=True, slots=True)
class CountDrops:
    """The drops of a line are counted."""

    line: int


@dataclass(frozen=True, slots=True)
class CheckLine:
    """A second person looks at a line."""

    line: int


@dataclass(frozen=True, slots=True)
class JoinPhases:
    """The temperatures of what meets at a step are taken."""

    step: int


@dataclass(frozen=True, slots=True)
class DoStep:
    """A step of the method."""

    step: int


@dataclass(frozen=True, slots=True)
class TakeYield:
    """What there is in the end is weighed."""


@dataclass(frozen=True, slots=True)
class DoTest:
    """A test of the formula, by its name."""

    test: str


@dataclass(frozen=True, slots=True)
class FillContainers:
    """The containers are filled."""


@dataclass(frozen=True, slots=True)
class PrintLabels:
    """Containers lack their labels."""


@dataclass(frozen=True, slots=True)
class ReconcileLabels:
    """Labels are counted against containers."""


@dataclass(frozen=True, slots=True)
class SendForRelease:
    """The record goes to the releaser."""


@dataclass(frozen=True, slots=True)
class Release:
    """A person who didn't make it releases it, or rejects it."""


@dataclass(frozen=True, slots=True)
class HandOver:
    """A jar goes to somebody."""

    jar: int


Task: TypeAlias = (
    LiftHold
    | Continue
    | EnterBlank
    | CheckPlan
    | ClearBench
    | DecideLine
    | TareVessel
    | WeighLine
    | MakeMixture
    | CountDrops
    | CheckLine
    | JoinPhases
    | DoStep
    | TakeYield
    | DoTest
    | FillContainers
    | PrintLabels
    | ReconcileLabels
    | SendForRelease
    | Release
    | HandOver
)


AFTER_WORK = (Stage.PACKED, Stage.LABELLED, Stage.AWAITING_RELEASE, Stage.RELEASED)


def to_do(state: State, at: datetime) -> tuple[Task, ...]:
    """Return what can be done at a moment, the next thing first; nothing at the end of all."""
    return tuple(dict.fromkeys(_tasks(state, at)))


def _tasks(state: State, at: datetime) -> Iterator[Task]:
    if state.held:
        yield LiftHold()
    elif state.interrupted:
        yield Continue()
    elif state.stage is Stage.REQUESTED and state.reserved:
        yield EnterBlank()
    elif state.stage is Stage.PLANNED:
        yield CheckPlan()
    elif state.stage is Stage.PLAN_CHECKED:
        yield ClearBench()
    elif state.stage in (Stage.BENCH_CLEARED, Stage.IN_WORK):
        yield from _work(state, at)
    elif state.stage in AFTER_WORK:
        yield from _goods(state)


def phase_vessel(state: State, phase: str) -> str:
    """Return the vessel that was tared for a phase, nothing where none was."""
    of_phase = [each.name for each in state.vessels if each.phase == phase]
    return of_phase[-1] if of_phase else ""


def _work(state: State, at: datetime) -> Iterator[Task]:
    if state.to_decide:
        yield from map(DecideLine, state.to_decide)
        return
    yield from _lines(state, _reopened(state))
    steps = state.job.method.steps
    if not steps:
        yield from _lines(state, state.lines)
    ready = [steps[each] for each in state.open_steps]
    for step in sorted(ready, key=lambda each: _is_timed(state, each, at)):
        yield from _step(state, step)
    yield from _lines(state, _by_and_by(state))
    yield from (WeighLine(line.position) for line in _by_and_by(state) if _takes_more(state, line))
    if not ready and all(map(is_finished, state.lines)):
        yield from _made(state)


def _reopened(state: State) -> list[LineState]:
    """Return the lines of steps done that need more again, since the batch was made good."""
    closed_at = ((line, closing_step(state.job.method, line.position)) for line in state.lines)
    return [line for line, step in closed_at if step in state.done_steps]


def _by_and_by(state: State) -> list[LineState]:
    """Return the lines that may go in already, although only a later step needs them finished."""
    opened_at = ((line, opening_step(state.job.method, line.position)) for line in state.lines)
    return [line for line, step in opened_at if step in {*state.open_steps, *state.done_steps}]


def _takes_more(state: State, line: LineState) -> bool:
    """Tell whether more of a line used as needed can go in, until its step is done."""
    begun = line.declared is None and bool(line.readings) and not line.ended
    return begun and closing_step(state.job.method, line.position) not in state.done_steps


def _step(state: State, step: BenchStep) -> Iterator[Task]:
    lines = [state.lines[each] for each in step.closes]
    todo = list(_lines(state, lines))
    if todo:
        yield from _vessel(state, lines)
        yield from todo
        return
    if step.flows and not state.is_joined(step.position):
        yield JoinPhases(step.position)
    yield DoStep(step.position)


def _lines(state: State, lines: list[LineState] | tuple[LineState, ...]) -> Iterator[Task]:
    counted = {each.line for each in state.drops}
    for line in lines:
        if is_finished(line):
            continue
        if (line.position, Way.WASTE) in state.ways:
            yield DecideLine(line.position)
        elif standing(line) is Standing.INSIDE and line.readings:
            yield CheckLine(line.position)
            if line.disputed is not None:
                yield DecideLine(line.position)
        elif lacks_mixture(state, line):
            yield MakeMixture(line.position)
        else:
            yield (CountDrops if line.position in counted else WeighLine)(line.position)


def _vessel(state: State, lines: list[LineState]) -> Iterator[Task]:
    """Ask for a phase's vessel once, before its first line; whoever weighs on needs none."""
    phases = {state.job.plan.lines[each.position].line.phase for each in lines}
    for phase in sorted(phases):
        of_phase = (
            line
            for line, planned in zip(state.lines, state.job.plan.lines, strict=True)
            if planned.line.phase == phase
        )
        if not phase_vessel(state, phase) and not any(line.readings for line in of_phase):
            yield TareVessel(phase)


def _is_timed(state: State, step: BenchStep, at: datetime) -> bool:
    """Tell whether a step only waits for its timer, so that hands are free for others."""
    timers = [each for each in state.open_timers if each.step == step.position]
    return bool(timers) and not any(each.is_up(at) for each in timers)


def _made(state: State) -> Iterator[Task]:
    if state.yielded is None:
        yield TakeYield()
    yield from _tests(state)
    if state.yielded is not None:
        yield FillContainers()


def _tests(state: State) -> Iterator[Task]:
    done = {each.test for each in state.tests}
    return (DoTest(each) for each in state.job.tests if each not in done)


def _goods(state: State) -> Iterator[Task]:
    if state.stage is not Stage.RELEASED:
        yield from _tests(state)
    match state.stage:
        case Stage.PACKED:
            in_force = {each.jar for each in state.labels if each.printed > each.void}
            lacking = any(jar.number not in in_force for jar in state.jars)
            yield PrintLabels() if lacking else ReconcileLabels()
        case Stage.LABELLED:
            yield SendForRelease()
        case Stage.AWAITING_RELEASE:
            yield Release()
        case _:
            yield from (HandOver(jar.number) for jar in state.jars if jar.recipient is None)
