"""The first part: what is made, for when, how it is kept, and the working of the whole."""

from __future__ import annotations

from collections.abc import Iterator

from formulary.bench.stages import Stage
from formulary.bench.words import named
from formulary.finding import Finding
from formulary.formula.keeping import shelf_life_said, storage_said
from formulary.papers.blocks import (
    BODY,
    FULL_MM,
    LARGE,
    TARGET,
    Block,
    Cell,
    Strip,
    Text,
    bold,
    heading,
    line,
    small,
)
from formulary.papers.subject import Subject
from formulary.papers.words import Words
from formulary.preparation import Preparation
from formulary.quantity.writing import held_together
from formulary.verbs.date_preparation import date_on_record
from formulary.verbs.list_register import mark_of

_IN_A_ROW = 2


def facts(subject: Subject, words: Words) -> Iterator[Block]:
    """Yield what is made and how it is kept."""
    said = [*_order(subject, words), *_keeping(subject, words)]
    for at in range(0, len(said), _IN_A_ROW):
        yield Block((_pair(said[at : at + _IN_A_ROW]),))
    for name in subject.state.transcribed:
        yield Block((line(bold(words("facts.transcribed", sheet=name)), above_mm=1.5),))
    if subject.state.held:
        yield Block((line(bold(words("facts.held", why=subject.state.held)), above_mm=1.5),))


def _pair(facts_: list[tuple[str, Text]]) -> Strip:
    width = FULL_MM / _IN_A_ROW
    cells = (Cell(width, (small(name), value)) for name, value in facts_)
    return Strip(tuple(cells), above_mm=1.5)


def _order(subject: Subject, words: Words) -> Iterator[tuple[str, Text]]:
    made, preparation = subject.plan, subject.preparation
    yield words("facts.target"), bold(words.text(made.target.said()), TARGET)
    yield words("facts.to_make"), bold(words.written(made.to_make), TARGET)
    if preparation is None or _waits_for_its_day(subject):
        blank = words("facts.to_fill_in")
        yield words("facts.made_on"), Text(blank, LARGE)
        yield words("facts.use_by"), Text(blank, LARGE)
    if preparation is not None:
        yield from _started(subject, preparation, words)


def _waits_for_its_day(subject: Subject) -> bool:
    """Whether it is a blank that nobody has entered: the day it is made is written on it."""
    return bool(subject.state.reserved) and subject.state.stage is Stage.REQUESTED


def _started(
    subject: Subject, preparation: Preparation, words: Words
) -> Iterator[tuple[str, Text]]:
    if not _waits_for_its_day(subject):
        yield from _days(preparation, words)
    stage, mark = subject.state.stage, mark_of(subject.state.stage, recalled=subject.recalled)
    said = (named(stage), *((mark,) if mark is not None else ()))
    yield words("facts.stage"), Text(", ".join(map(words.text, said)))
    who = words.signed(preparation.started_by, preparation.started_at)
    yield words("facts.started"), Text(who)
    yield words("facts.zone"), Text(subject.house.zone)
    if subject.state.reserved:
        yield words("facts.reserved"), Text(subject.state.reserved)
    if preparation.patient_id:
        yield words("facts.made_for"), Text(words("facts.patient", id=preparation.patient_id))
    if preparation.directions:
        yield words("facts.directions"), Text(preparation.directions)


def _days(preparation: Preparation, words: Words) -> Iterator[tuple[str, Text]]:
    yield words("facts.made_on"), bold(words.written(preparation.made_on), LARGE)
    yield words("facts.use_by"), bold(words.written(preparation.use_by), LARGE)
    dated = date_on_record(preparation)
    if dated is not None:
        yield words("facts.bound_by"), Text(held_together(dated.bound_by))


def _keeping(subject: Subject, words: Words) -> Iterator[tuple[str, Text]]:
    content = subject.content
    if content.container is not None:
        yield words("facts.container"), Text(content.container.text)
    kept = ", ".join(map(words.text, storage_said(content.storage)))
    yield words("facts.storage"), Text(kept)
    yield words("facts.shelf_life"), Text(words.text(shelf_life_said(content.shelf_life)))
    if content.cautions:
        yield words("facts.cautions"), Text(content.cautions)
    if content.marketed:
        yield words("facts.marketed"), Text(content.marketed)


def dating(subject: Subject, words: Words) -> Iterator[Block]:
    """Yield the working of the last day of use as it is on record, and the rules it is by."""
    preparation = subject.preparation
    dated = date_on_record(preparation) if preparation else None
    if dated is None or _waits_for_its_day(subject):
        return
    said = [Text(step) for step in (*dated.working, dated.rules)]
    yield Block((line(*said),), (heading(words("dating.title")),))


def whole(subject: Subject, words: Words) -> Iterator[Block]:
    """Yield the working of the whole, the strengths, and what the plan minds."""
    made = subject.plan
    head = (heading(words("whole.title")),)
    said = [Text(words.text(each)) for each in made.working]
    said.append(Text(words("whole.total", total=made.total)))
    said += [
        Text(
            words(
                "whole.strength",
                ingredient=each.ingredient,
                declared=each.declared,
                actual=each.actual_shown,
            )
        )
        for each in made.strengths
    ]
    said += [bold(finding_said(each, words), BODY) for each in made.findings]
    yield Block((line(*said),), head)


def finding_said(finding: Finding, words: Words) -> str:
    """Return a finding with how serious it is."""
    severity = words(f"severity.{finding.severity.name.lower()}")
    return words("finding", severity=severity, said=finding.said)
