"""The label kept with a preparation: what it said, word for word, apart from any person."""

from __future__ import annotations

from collections.abc import Iterator

from formulary.canonical import from_canonical_text
from formulary.errors import BadText, Refusal
from formulary.labels.content import LabelContent
from formulary.labels.kept_page import kept_pages
from formulary.labels.page import Page
from formulary.labels.wording import statements
from formulary.messages import message
from formulary.papers.blocks import FULL_MM, Block, Cell, Strip, Text, heading, line, row, small
from formulary.papers.subject import Subject
from formulary.papers.words import Words
from formulary.preparation import LabelPrint

_SAID_MM = (52.0, 128.0)
_HIGHEST_MM = 200.0


def specimens(subject: Subject, words: Words) -> Iterator[Block]:
    """Yield what each label said that was printed, told once where prints said the same."""
    said: dict[str, LabelPrint] = {}
    for each in subject.prints:
        if not each.proof:
            said.setdefault(each.content, each)
    for each in said.values():
        yield from _specimen(each, words)


def _specimen(each: LabelPrint, words: Words) -> Iterator[Block]:
    head = (
        heading(words("specimen.title")),
        line(small(words("specimen.of", at=each.printed_at, stock=each.stock))),
    )
    for name, text in _fields(each.content, words):
        yield Block((row(_SAID_MM, (small(name), Text(text))),), head)
    labels = _as_drawn(each)
    if labels:
        yield Block((Strip((Cell(FULL_MM, drawn=labels),), above_mm=2.0),), head)


def _as_drawn(each: LabelPrint) -> tuple[Page, ...]:
    """Return the labels of the first container as they were printed, where a paper holds them."""
    one = each.copies // each.containers if each.containers else 1
    try:
        labels = kept_pages(each.drawn)[:one]
    except BadText:
        return ()
    fit = all(label.width_mm <= FULL_MM and label.height_mm <= _HIGHEST_MM for label in labels)
    return labels if fit else ()


def label_fields(kept: str, words: Words) -> tuple[str, ...]:
    """Return what a kept label says, a line for each field."""
    return tuple(
        words("specimen.field", name=name, said=said) for name, said in _fields(kept, words)
    )


def _fields(kept: str, words: Words) -> Iterator[tuple[str, str]]:
    try:
        said = statements(from_canonical_text(LabelContent, kept))
    except (BadText, Refusal):
        # Kept by an older edition in a way that isn't read any more: its text is shown as kept.
        yield words("specimen.as_kept"), kept
        return
    for field, text in said.items():
        yield words.text(message(f"label.field.{field}")), text
