"""The method: its lanes and joins in order, what each step asks, and what was answered."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from fractions import Fraction
from itertools import groupby

from formulary.bench.events import Answer, PhasesJoined, Recorded, StepDone, StepStarted
from formulary.bench.joining import JoinRule, rule_of, said_window
from formulary.bench.method import BenchStep, Lane
from formulary.bench.temperatures import Window
from formulary.bench.words import named
from formulary.formula.content import Ask, Asked
from formulary.papers.blocks import (
    BODY,
    FULL_MM,
    LARGE,
    Block,
    Cell,
    Strip,
    Text,
    bold,
    box,
    boxes,
    heading,
    line,
    small,
)
from formulary.papers.subject import Subject
from formulary.papers.words import Words

_NUMBER_MM, _APART_MM, _DONE_MM = 10.0, 3.0, 50.0
_ASKS_IN_A_ROW = 3
_ASK_MM = (FULL_MM - _NUMBER_MM) / _ASKS_IN_A_ROW


def method(subject: Subject, words: Words) -> Iterator[Block]:
    """Yield every step in the order of the text, under the heading of its lane."""
    lanes = {lane.code: lane for lane in subject.state.job.method.lanes}
    top = heading(words("method.title"))
    for code, steps in groupby(subject.state.job.method.steps, key=lambda each: each.step.phase):
        lane = line(bold(_lane_said(lanes[code], words), LARGE), above_mm=3.0)
        for step in steps:
            yield Block(tuple(_step(subject, step, words)), (top, lane))


def _lane_said(lane: Lane, words: Words) -> str:
    if not lane.code:
        return words("method.all_phases")
    key = "lane" if lane.name else "lane_unnamed"
    return words(f"method.{key}", code=lane.code, name=lane.name)


def _step(subject: Subject, step: BenchStep, words: Words) -> Iterator[Strip]:
    number = Cell(_NUMBER_MM, (bold(words("weighing.number", n=step.position + 1), LARGE),))
    width = FULL_MM - _NUMBER_MM - _APART_MM - _DONE_MM
    said = Cell(width, tuple(_told(subject, step, words)))
    done = box(_DONE_MM, words("method.done"), *_done(subject, step, words))
    yield Strip((number, said, Cell(_APART_MM), done), least_mm=13.0, above_mm=1.5)
    cells = [*_sides(subject, step, words), *_answers(subject, step, words)]
    for at in range(0, len(cells), _ASKS_IN_A_ROW):
        yield boxes(Cell(_NUMBER_MM), *cells[at : at + _ASKS_IN_A_ROW], above_mm=1.0)


def _told(subject: Subject, step: BenchStep, words: Words) -> Iterator[Text]:
    yield Text(step.step.text, BODY + 1)
    written = step.step
    facts = [written.temperature, written.time, written.speed, written.equipment]
    if any(facts):
        yield small("; ".join(filter(None, facts)))
    if written.look_for:
        yield small(words("method.look_for", look_for=written.look_for))
    if step.waits_for - {step.position - 1}:
        before = tuple(i + 1 for i in sorted(step.waits_for))
        yield small(words("method.waits", n=len(before), steps=before))
    rule = _rule(subject, step)
    if rule is not None:
        yield small(_difference(rule, words))
    if step.opens:
        yield small(words("method.goes_in", lines=tuple(_lines(subject, step))))
    for vessel in _vessels_of(subject, step):
        went = tuple(_went_into(subject, step, vessel))
        yield small(words("method.went_in", vessel=vessel, lines=went))
    if step.minutes is not None and not written.time:
        yield small(words("method.minutes", minutes=step.minutes.shortest))


def _lines(subject: Subject, step: BenchStep) -> Iterator[str]:
    return (subject.state.lines[i].ingredient for i in step.opens)


def _vessels_of(subject: Subject, step: BenchStep) -> tuple[str, ...]:
    """Return the vessels that took something at a step that is done."""
    if step.position not in subject.state.done_steps:
        return ()
    found = (subject.state.lines[each].vessel for each in step.closes)
    return tuple(dict.fromkeys(filter(None, found)))


def _went_into(subject: Subject, step: BenchStep, vessel: str) -> Iterator[str]:
    lines = (subject.state.lines[each] for each in step.closes)
    return (each.ingredient for each in lines if each.vessel == vessel)


def _done(subject: Subject, step: BenchStep, words: Words) -> Iterator[Text]:
    for each in subject.events:
        event = each.event
        if not isinstance(event, StepDone | StepStarted | PhasesJoined):
            continue
        if event.step != step.position:
            continue
        if isinstance(event, StepDone):
            yield Text(words.signed(each.person, each.at))
        if event.exception:
            yield bold(_exception(each, event.exception, words))


def _exception(each: Recorded, why: str, words: Words) -> str:
    """Return the reason of an exception with who signed it."""
    signature = each.signature
    if signature is None:
        return words("method.exception", why=why)
    signer = words.signed(signature.person, signature.at)
    return words("method.exception_signed", why=why, signer=signer)


def _rule(subject: Subject, step: BenchStep) -> JoinRule | None:
    job = subject.state.job
    return rule_of(job.method, step.position, job.join_difference)


def _sides(subject: Subject, step: BenchStep, words: Words) -> Iterator[Cell]:
    rule = _rule(subject, step)
    if rule is None:
        return
    entered = _entered(subject, step)
    for side, window in rule.windows:
        caption = words("method.side", side=side, window=said_window(window))
        found = entered.get(side)
        text = "" if found is None else words("method.degrees", degrees=found)
        yield box(_ASK_MM, caption, *_figure(text))


def _entered(subject: Subject, step: BenchStep) -> Mapping[str, Fraction]:
    found: dict[str, Fraction] = {}
    for each in subject.events:
        if isinstance(each.event, PhasesJoined) and each.event.step == step.position:
            for side in each.event.temperatures:
                found[side.side] = side.degrees
    return found


def _difference(rule: JoinRule, words: Words) -> str:
    if rule.difference is None:
        return words("method.late")
    return words("method.difference", allowed=rule.difference)


def _answers(subject: Subject, step: BenchStep, words: Words) -> Iterator[Cell]:
    answers = {
        each.what: each
        for recorded in subject.events
        if isinstance(recorded.event, StepDone) and recorded.event.step == step.position
        for each in recorded.event.answers
    }
    for ask in step.asks:
        found = answers.get(ask.what)
        text = "" if found is None else _answered(subject, found, words)
        yield box(_ASK_MM, _asked(ask, words), *_figure(text))


def _answered(subject: Subject, answer: Answer, words: Words) -> str:
    if answer.number is not None:
        return words.written(answer.number)
    if answer.person_id:
        return subject.names.get(answer.person_id, answer.person_id)
    return answer.text or words("method.ticked")


def _figure(text: str) -> tuple[Text, ...]:
    return (bold(text, LARGE),) if text else ()


def _asked(ask: Ask, words: Words) -> str:
    what = words.text(named(ask.what))
    if ask.what in (Asked.TEMPERATURE, Asked.PH, Asked.TIME):
        limits = Window(ask.lowest, ask.highest)
        if limits != Window():
            what = words("method.limits", what=what, limits=said_window(limits))
    return ", ".join(filter(None, (what, ask.text)))
