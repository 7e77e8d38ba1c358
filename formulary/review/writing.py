"""What is written in a free text of the formula, and easily misread there."""

from __future__ import annotations

from collections.abc import Iterator

from formulary.finding import Finding
from formulary.formula.content import Content
from formulary.review.case import Case
from formulary.review.rule import Rule
from formulary.wording.lint import lint

_STEP = ("text", "temperature", "time", "speed", "equipment", "look_for")


def easily_misread(case: Case) -> Iterator[Finding]:
    """Find error-prone writing; in what a label prints, by the stricter rules for patients."""
    for field, text in on_label(case.content):
        yield from (slip.finding(field) for slip in lint(text, label=True))
    for field, text in in_house(case.content):
        yield from (slip.finding(field) for slip in lint(text))


def on_label(content: Content) -> Iterator[tuple[str, str]]:
    """Yield what is typed for the label, with the field to go to."""
    label = content.label
    yield from (
        (f"label.{name}", getattr(label, name)) for name in ("name", "strength", "directions")
    )
    yield from (("label.extra", text) for text in label.extra)


def in_house(content: Content) -> Iterator[tuple[str, str]]:
    """Yield what the trade alone reads, with its field.

    Latin name and synonyms are left out: there the trade's short names are meant.
    """
    for name in ("title", "purpose", "cautions", "source", "marketed"):
        yield name, getattr(content, name)
    for i, line in enumerate(content.lines):
        yield f"ingredient.{i}.grade", line.grade
        yield f"ingredient.{i}.note", line.note
    for i, step in enumerate(content.steps):
        yield from ((f"step.{i}.{name}", getattr(step, name)) for name in _STEP)
        yield from ((f"step.{i}.ask", ask.text) for ask in step.asks)
    for i, test in enumerate(content.tests):
        yield f"test.{i}.name", test.name
        yield f"test.{i}.limits", test.limits
    yield from _keeping(content)


def _keeping(content: Content) -> Iterator[tuple[str, str]]:
    if content.container is not None:
        yield "container.text", content.container.text
    if content.storage is not None:
        yield "storage.note", content.storage.note
    if content.shelf_life is not None:
        yield "shelf_life.reason", content.shelf_life.reason
        yield "shelf_life.reference", content.shelf_life.reference


RULES = (Rule("error_prone", easily_misread),)
