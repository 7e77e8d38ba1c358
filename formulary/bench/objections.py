"""What speaks against an act of the method now: each in a sentence, with what it is about."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction

from formulary.bench.events import Answer, Category, Recorded, StepDone
from formulary.bench.joining import said_window
from formulary.bench.state import State
from formulary.bench.temperatures import Window
from formulary.bench.timers import as_time
from formulary.bench.weighing import is_finished
from formulary.formula.content import Ask, Asked
from formulary.messages import Message, message

NUMBERS = (Asked.TIME, Asked.TEMPERATURE, Asked.PH)


@dataclass(frozen=True, slots=True)
class Objection:
    """A sentence against an act; a signed exception makes it a decided deviation."""

    category: Category
    said: Message


def out_of_order(state: State, step: int) -> tuple[Objection, ...]:
    """Return what a step still waits for, unless an exception let it begin."""
    if step in state.open_steps:
        return ()
    waiting = state.job.method.steps[step].waits_for - state.done_steps
    texts = (state.job.method.steps[each].step.text for each in sorted(waiting))
    return tuple(
        Objection(Category.ORDER, message("bench.step.waits", number=step + 1, step=text))
        for text in texts
    )


def unfinished_lines(state: State, steps: Iterable[int]) -> tuple[Objection, ...]:
    """Return the lines that these steps need and that aren't as they should be."""
    needed = {line for step in steps for line in state.job.method.steps[step].closes}
    return tuple(
        Objection(Category.ORDER, message("bench.step.line_unfinished", ingredient=line.ingredient))
        for line in state.lines
        if line.position in needed and not is_finished(line)
    )


def to_being_done(
    state: State, event: StepDone, recorded: Recorded, *, alone: bool
) -> tuple[Objection, ...]:
    """Return all that speaks against calling a step done.

    Lines of steps done before count again, since making good opens them again.
    """
    return (
        *out_of_order(state, event.step),
        *unfinished_lines(state, {*state.done_steps, event.step}),
        *_unjoined(state, event.step),
        *_unanswered(state, event, recorded, alone=alone),
        *_too_soon(state, event, recorded),
        *_too_early(state, event),
    )


def _unjoined(state: State, step: int) -> tuple[Objection, ...]:
    if not state.job.method.steps[step].flows or state.is_joined(step):
        return ()
    return (Objection(Category.ORDER, message("bench.step.not_joined", number=step + 1)),)


def _unanswered(
    state: State, event: StepDone, recorded: Recorded, *, alone: bool
) -> tuple[Objection, ...]:
    answers = {answer.what: answer for answer in event.answers}
    found = [
        _against(ask, answers.get(ask.what), recorded)
        for ask in state.job.method.steps[event.step].asks
        if not (alone and ask.what is Asked.SECOND_PERSON)
    ]
    return tuple(Objection(Category.ANSWER, said) for said in found if said is not None)


def _against(ask: Ask, answer: Answer | None, recorded: Recorded) -> Message | None:
    """Return what is wrong with an answer, None if nothing is."""
    asked = message(f"bench.asked.{ask.what.name.lower()}")
    if answer is None or not _is_given(answer):
        return message("bench.answer.missing", asked=asked)
    if ask.what is Asked.SECOND_PERSON and answer.person_id == recorded.done_by:
        return message("bench.answer.same_person")
    window = Window(ask.lowest, ask.highest)
    if answer.number is None or window.holds(answer.number):
        return None
    limits = said_window(window)
    return message("bench.answer.outside", asked=asked, number=answer.number, limits=limits)


def _is_given(answer: Answer) -> bool:
    if answer.what in NUMBERS:
        return answer.number is not None
    if answer.what is Asked.SECOND_PERSON:
        return bool(answer.person_id)
    return answer.what is Asked.TICK or bool(answer.text)


def _too_soon(state: State, event: StepDone, recorded: Recorded) -> tuple[Objection, ...]:
    """Return an objection where a step's own timer isn't up and no time long enough was noted."""
    minutes = state.job.method.steps[event.step].step.minutes
    if minutes is None or noted(event) >= minutes:
        return ()
    timed = [each for each in state.timers if each.step == event.step]
    if any(each.elapsed(recorded.done_at) >= as_time(minutes) for each in timed):
        return ()
    return (Objection(Category.ANSWER, message("bench.step.too_soon", minutes=minutes)),)


def _too_early(state: State, event: StepDone) -> tuple[Objection, ...]:
    """Return an objection where less time passed than the step asks for, as was seen then."""
    minutes = state.job.method.steps[event.step].minutes
    if event.early is None or minutes is None:
        return ()
    said = message("bench.step.too_early", minutes=minutes.shortest, taken=event.early)
    return (Objection(Category.TIME, said),)


def noted(event: StepDone) -> Fraction:
    """Return the minutes that were noted for a step, none where none were."""
    times = [each.number for each in event.answers if each.what is Asked.TIME and each.number]
    return max(times, default=Fraction(0))
