"""What is looked at as an event is recorded, by the time that has passed until then.

It is kept with the event, so that a record from before stays as it was.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, timedelta
from fractions import Fraction

from formulary.bench.applying import refuse
from formulary.bench.events import Event, StepDone, TimerStopped
from formulary.bench.method import BenchStep
from formulary.bench.objections import noted
from formulary.bench.state import State
from formulary.bench.timers import as_time

NEEDS_TIME = (StepDone, TimerStopped)
"""What is looked at so."""
_MINUTE = timedelta(minutes=1)


def timed(state: State, event: Event, at: datetime) -> Event:
    """Return an event with what the time until a moment means for it.

    Raises :class:`formulary.errors.Refusal` for a running timer that is stopped without a word.
    """
    match event:
        case StepDone(step) if 0 <= step < len(state.job.method.steps):
            return replace(event, early=minutes_of_early(state, event, at))
        case TimerStopped(number, reason):
            running = next((each for each in state.open_timers if each.number == number), None)
            if running is not None and not running.is_up(at) and not reason.strip():
                refuse("timer.no_word", name=running.name)
    return event


def minutes_of_early(state: State, event: StepDone, at: datetime) -> Fraction | None:
    """Return the whole minutes that a step can have taken, where it asks for more; else None.

    Whoever noted the minutes, or let the step's own timer run so long, has shown that it took them.
    """
    step = state.job.method.steps[event.step]
    begun = could_begin(state, step)
    if step.minutes is None or begun is None or noted(event) >= step.minutes.shortest:
        return None
    least = as_time(step.minutes.shortest)
    timers = (each.elapsed(at) for each in state.timers if each.step == event.step)
    if max((at - begun, *timers)) >= least:
        return None
    return Fraction(max(0, (at - begun) // _MINUTE))


def could_begin(state: State, step: BenchStep) -> datetime | None:
    """Return when a step can have begun: after all that it waits for, and its own lines."""
    before = (state.progress(each) for each in step.waits_for)
    own = state.progress(step.position)
    moments = [
        *(each.done_at for each in before if each is not None),
        *(each.at for each in state.joined if each.step == step.position),
        *(state.lines[each].weighed_at for each in step.closes),
        own.started_at if own is not None else None,
    ]
    last = state.last_work
    fallback = last.done_at if last is not None else None
    return max((each for each in moments if each is not None), default=fallback)
