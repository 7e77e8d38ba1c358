"""What a paper is made of before it is set: texts in cells, cells in strips, strips in blocks."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from formulary.labels.metrics import Weight
from formulary.labels.page import Page

FULL_MM = 180.0
"""The width between the margins of a page."""

SMALL, BODY, LARGE, TARGET = 9.5, 11.0, 13.0, 17.0
"""Type sizes in points. Targets are read at arm's length, standing at a balance."""


class Align(StrEnum):
    """Where a line of text stands in its cell."""

    LEFT = "left"
    RIGHT = "right"


@dataclass(frozen=True, slots=True)
class Text:
    """A paragraph in one size and weight."""

    text: str
    size_pt: float = BODY
    weight: Weight = Weight.REGULAR
    align: Align = Align.LEFT


@dataclass(frozen=True, slots=True)
class Cell:
    """Paragraphs one under another in a column; a framed one is written into by hand.

    Below them stand ``drawn`` labels at their true size, each in a hairline.
    """

    width_mm: float
    texts: tuple[Text, ...] = ()
    framed: bool = False
    drawn: tuple[Page, ...] = ()


@dataclass(frozen=True, slots=True)
class Strip:
    """Cells side by side, at least so high, with so much room above."""

    cells: tuple[Cell, ...]
    least_mm: float = 0.0
    above_mm: float = 0.0
    ruled: bool = False


@dataclass(frozen=True, slots=True)
class Block:
    """Strips that stay together where a page holds them.

    ``head`` stands above the first block that has it, and again where a page begins within.
    """

    strips: tuple[Strip, ...]
    head: tuple[Strip, ...] = ()


def bold(text: str, size_pt: float = BODY) -> Text:
    """Return a paragraph in bold type."""
    return Text(text, size_pt, Weight.BOLD)


def small(text: str) -> Text:
    """Return a paragraph in small type."""
    return Text(text, SMALL)


def line(*texts: Text, above_mm: float = 0.0, indent_mm: float = 0.0) -> Strip:
    """Return paragraphs across the page."""
    body = Cell(FULL_MM - indent_mm, texts)
    return Strip((Cell(indent_mm), body) if indent_mm else (body,), above_mm=above_mm)


def heading(text: str) -> Strip:
    """Return the heading of a part, under a rule."""
    return Strip((Cell(FULL_MM, (bold(text, LARGE),)),), above_mm=4.0, ruled=True)


def box(width_mm: float, caption: str, *texts: Text) -> Cell:
    """Return a framed cell with a small caption, to be written into where it holds nothing."""
    return Cell(width_mm, (Text(caption, 8.0), *texts), framed=True)


def boxes(*cells: Cell, above_mm: float = 0.0) -> Strip:
    """Return framed cells side by side, high enough to be written into with a gloved hand."""
    return Strip(cells, least_mm=13.0, above_mm=above_mm)


def row(widths: tuple[float, ...], texts: tuple[Text, ...]) -> Strip:
    """Return one row of a table, a paragraph for each column."""
    cells = (Cell(width, (text,)) for width, text in zip(widths, texts, strict=True))
    return Strip(tuple(cells), above_mm=0.8)
