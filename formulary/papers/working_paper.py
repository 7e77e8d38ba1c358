"""A calculation on paper, as a record: what was given, its working, and room to check and sign."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from formulary.house import House
from formulary.labels.page import Page
from formulary.papers.blocks import (
    FULL_MM,
    Block,
    Cell,
    Text,
    bold,
    box,
    boxes,
    heading,
    line,
    row,
)
from formulary.papers.done_sum import Sum
from formulary.papers.paging import paged
from formulary.papers.paper_head import About, paper_head, sample_stamps
from formulary.papers.printed import Printed
from formulary.papers.words import Words, words_of

_WIDTHS_MM = (110.0, 70.0)
_TO_SIGN = ("worked_out", "checked")


def working_pages(house: House, done: Sum, printed: Printed) -> tuple[Page, ...]:
    """Return the pages, A4. Raises Refusal for a sign that the fonts don't have."""
    words = words_of(house)
    kept = words("sum.kept_with", what=done.kept_with) if done.kept_with else words("sum.not_kept")
    about = About(words("sum.paper"), done.title, kept, stamps=sample_stamps(house))
    return paged(_blocks(done, words), paper_head(house, about, printed))


def _blocks(done: Sum, words: Words) -> Iterator[Block]:
    yield from _table("given", done.given, words)
    yield from _table("results", done.results, words, strong=True)
    head = (heading(words("sum.working")),)
    *before, last = done.working
    for each in before:
        yield Block((line(Text(each), above_mm=0.8),), head)
    yield Block((line(bold(last), above_mm=0.8),), head)
    for each in (*done.cautions, *done.notes):
        yield Block((line(Text(each), above_mm=1.5),))
    yield Block(
        tuple(boxes(*_to_sign(each, words), above_mm=1.0) for each in _TO_SIGN),
        (heading(words("sum.signed")),),
    )


def _table(
    name: str, rows: Sequence[tuple[str, str]], words: Words, *, strong: bool = False
) -> Iterator[Block]:
    head = (heading(words(f"sum.{name}")),)
    for title, value in rows:
        said = bold(value) if strong else Text(value)
        yield Block((row(_WIDTHS_MM, (Text(title), said)),), head)


def _to_sign(name: str, words: Words) -> tuple[Cell, ...]:
    half = FULL_MM / 2
    return (
        box(half, words(f"sum.{name}")),
        box(half, words("signatures.when")),
    )
