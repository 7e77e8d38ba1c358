"""Steps, timers, measurements and joins: the order holds, and an exception to it is signed."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from formulary.bench.applying import (
    Now,
    apply,
    at_work,
    deviating,
    exempted,
    refuse,
    require_nothing_over,
    require_signed,
    require_stage,
)
from formulary.bench.events import (
    Category,
    Continued,
    Interrupted,
    Measured,
    PhasesJoined,
    StepDone,
    StepStarted,
    TimerStarted,
    TimerStopped,
)
from formulary.bench.joining import doubts, rule_of
from formulary.bench.objections import Objection, out_of_order, to_being_done, unfinished_lines
from formulary.bench.stages import WITH_GOODS, Stage
from formulary.bench.state import Joined, Progress, State
from formulary.bench.timers import Timer
from formulary.formula.content import Asked
from formulary.signing import Meaning


@apply.register
def step_started(event: StepStarted, now: Now) -> State:
    """A step begins when all it waits for is done."""
    state = at_work(now)
    _require_step(state, event.step)
    if state.progress(event.step) is not None:
        refuse("step.begun", number=event.step + 1)
    objections = out_of_order(state, event.step)
    state = _signed_off(state, now, event.exception, objections)
    excepted = event.exception.strip() if objections else ""
    return _with_progress(state, Progress(event.step, now.recorded.done_at, excepted=excepted))


@apply.register
def step_done(event: StepDone, now: Now) -> State:
    """A step is done when its lines are in and everything it asks is answered."""
    state = at_work(now)
    _require_step(state, event.step)
    require_nothing_over(state)
    if event.step in state.done_steps:
        refuse("step.done_already", number=event.step + 1)
    objections = to_being_done(state, event, now.recorded, alone=bool(now.alone_because))
    state = _signed_off(state, now, event.exception, objections)
    if now.alone_because and any(
        ask.what is Asked.SECOND_PERSON for ask in state.job.method.steps[event.step].asks
    ):
        state = exempted(state, now, "step_done")
    begun = state.progress(event.step) or Progress(event.step, now.recorded.done_at)
    return _with_progress(
        state,
        replace(
            begun,
            done_at=now.recorded.done_at,
            done_by=now.recorded.done_by,
            answers=event.answers,
            excepted=begun.excepted or (event.exception.strip() if objections else ""),
        ),
    )


@apply.register
def phases_joined(event: PhasesJoined, now: Now) -> State:
    """Phases are joined once each is done, inside its window, and close enough to the others."""
    state = at_work(now)
    _require_step(state, event.step)
    require_nothing_over(state)
    method = state.job.method
    rule = rule_of(method, event.step, state.job.join_difference)
    if rule is None:
        refuse("join.nothing_to_join", number=event.step + 1)
    if state.is_joined(event.step):
        refuse("join.joined_already", number=event.step + 1)
    objections = (
        *out_of_order(state, event.step),
        *unfinished_lines(state, {*state.done_steps, *method.steps[event.step].waits_for}),
        *(Objection(Category.TEMPERATURE, each) for each in doubts(rule, event.temperatures)),
    )
    state = _signed_off(state, now, event.exception, objections)
    joined = Joined(event.step, now.recorded.done_at, event.temperatures)
    return replace(state, joined=(*state.joined, joined))


@apply.register
def timer_started(event: TimerStarted, now: Now) -> State:
    """A timer runs for more than no time, and a step's own for a step that there is."""
    require_stage(now.state, Stage.BENCH_CLEARED, *WITH_GOODS)
    if event.minutes <= 0:
        refuse("timer.no_time")
    if event.step is not None:
        _require_step(now.state, event.step)
    number = len(now.state.timers) + 1
    timer = Timer(number, event.name, now.recorded.at, event.minutes, event.step)
    return replace(now.state, timers=(*now.state.timers, timer))


@apply.register
def timer_stopped(event: TimerStopped, now: Now) -> State:
    """Only a running timer is stopped."""
    running = next((each for each in now.state.open_timers if each.number == event.timer), None)
    if running is None:
        refuse("timer.not_running", number=event.timer)
    stopped = replace(running, stopped_at=now.recorded.at)
    timers = tuple(stopped if each is running else each for each in now.state.timers)
    return replace(now.state, timers=timers)


@apply.register
def measured(event: Measured, now: Now) -> State:
    """A measurement in between is kept whatever it says; it decides nothing."""
    state = at_work(now)
    if event.what not in (Asked.TEMPERATURE, Asked.PH, Asked.TIME):
        refuse("not_a_measurement", what=event.what.value)
    if event.step is not None:
        _require_step(state, event.step)
    return state


@apply.register
def interrupted(_event: Interrupted, now: Now) -> State:
    """The work is left; where it was stays known."""
    require_stage(now.state, Stage.BENCH_CLEARED, Stage.IN_WORK)
    return replace(now.state, interrupted=True)


@apply.register
def continued(_event: Continued, now: Now) -> State:
    """The work is taken up where it was."""
    if not now.state.interrupted:
        refuse("not_interrupted")
    return replace(now.state, interrupted=False)


def _signed_off(state: State, now: Now, exception: str, objections: Iterable[Objection]) -> State:
    """Return the state if nothing speaks against the act, or a signed exception covers it."""
    for each in objections:
        if not exception.strip():
            refuse("step.not_now", why=each.said)
        require_signed(now, Meaning.DECIDED)
        state = deviating(state, now, each.category, each.said, decision=exception.strip())
    return state


def _require_step(state: State, step: int) -> None:
    if not 0 <= step < len(state.job.method.steps):
        refuse("step.unknown", number=step + 1)


def _with_progress(state: State, progress: Progress) -> State:
    others = tuple(each for each in state.steps if each.step != progress.step)
    return replace(state, steps=(*others, progress))
