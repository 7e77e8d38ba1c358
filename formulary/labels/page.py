"""A finished label as things at places: millimetres from the top left corner, nothing else."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import datetime
from enum import StrEnum
from itertools import groupby
from typing import TypeAlias

from formulary.errors import Refusal
from formulary.messages import message

MM_PER_POINT = 25.4 / 72
MM_PER_INCH = 25.4
# A print head sold as 203 dots per inch has eight to the millimetre.
_DOTS_PER_MM = {203: 8.0}

# The highest ink of DejaVu's letters, accents on small ones included, and the lowest, in parts of
# the type size. Only capitals with accents and a few signs stand higher.
ASCENT = 0.81
DESCENT = 0.24


def dot_mm(dots_per_inch: int) -> float:
    """Return the side of one of a printer's dots in mm."""
    return 1 / _DOTS_PER_MM.get(dots_per_inch, dots_per_inch / MM_PER_INCH)


class Field(StrEnum):
    """What on the label something belongs to; also the last part of its name in the catalogue."""

    STAMP = "stamp"
    NAME = "name"
    STRENGTH = "strength"
    QUANTITY = "quantity"
    PATIENT = "patient"
    DIRECTIONS = "directions"
    USE_BY = "use_by"
    LOT = "lot"
    STORAGE = "storage"
    AFTER_OPENING = "after_opening"
    MADE_ON = "made_on"
    CONTAINER = "container"
    PRESCRIBER = "prescriber"
    WARNINGS = "warnings"
    EXTRA = "extra"
    HOUSE = "house"
    ADDRESS = "address"
    TELEPHONE = "telephone"
    CODE = "code"
    NUMBER = "number"
    STATUS = "status"
    FORM = "form"
    ROUTE = "route"
    COMPOSITION = "composition"
    TARGET = "target"
    COMPOUNDED = "compounded"
    COPY = "copy"
    PART = "part"
    PICTOGRAM = "pictogram"
    BESIDE = "beside"
    NONE = "none"


class Direction(StrEnum):
    """Which way a run of glyphs is read."""

    LEFT_TO_RIGHT = "ltr"
    RIGHT_TO_LEFT = "rtl"


@dataclass(frozen=True, slots=True)
class Place:
    """The rectangle that something takes up."""

    left: float
    top: float
    right: float
    bottom: float

    @property
    def width(self) -> float:
        """From left to right."""
        return self.right - self.left

    def overlaps(self, other: Place) -> bool:
        """Tell whether the two share more than an edge."""
        return (
            self.left < other.right - _TOUCHING
            and other.left < self.right - _TOUCHING
            and self.top < other.bottom - _TOUCHING
            and other.top < self.bottom - _TOUCHING
        )

    def within(self, other: Place) -> bool:
        """Tell whether nothing of this place lies outside the other."""
        return (
            self.left >= other.left - _TOUCHING
            and self.top >= other.top - _TOUCHING
            and self.right <= other.right + _TOUCHING
            and self.bottom <= other.bottom + _TOUCHING
        )


_TOUCHING = 1e-6


@dataclass(frozen=True, slots=True)
class GlyphRun:
    """Text in one font, size and direction; ``y_mm`` is its baseline. White if ``inverse``.

    ``ascent`` and ``descent`` are how far its ink stands above and below the baseline, in parts
    of the type size.
    """

    x_mm: float
    y_mm: float
    text: str
    font: str
    size_pt: float
    width_mm: float
    field: Field
    direction: Direction = Direction.LEFT_TO_RIGHT
    inverse: bool = False
    ascent: float = ASCENT
    descent: float = DESCENT

    @property
    def place(self) -> Place:
        """From the highest accent to the lowest descender."""
        em = self.size_pt * MM_PER_POINT
        return Place(
            self.x_mm,
            self.y_mm - self.ascent * em,
            self.x_mm + self.width_mm,
            self.y_mm + self.descent * em,
        )


@dataclass(frozen=True, slots=True)
class Rule:
    """A black rectangle: a hairline, a side of a frame, the ground of a stamp."""

    x_mm: float
    y_mm: float
    width_mm: float
    height_mm: float
    field: Field = Field.NONE

    @property
    def place(self) -> Place:
        """The rectangle itself."""
        return Place(self.x_mm, self.y_mm, self.x_mm + self.width_mm, self.y_mm + self.height_mm)


@dataclass(frozen=True, slots=True)
class BarRun:
    """A linear code: each bar's left edge and width, all of one height.

    ``x_mm`` and ``width_mm`` take in the quiet zones that must stay blank on both sides.
    """

    x_mm: float
    y_mm: float
    width_mm: float
    height_mm: float
    bars: tuple[tuple[float, float], ...]
    data: str
    field: Field = Field.CODE

    @property
    def place(self) -> Place:
        """The bars with their quiet zones."""
        return Place(self.x_mm, self.y_mm, self.x_mm + self.width_mm, self.y_mm + self.height_mm)


@dataclass(frozen=True, slots=True)
class MatrixRun:
    """A square code: its rows of modules, 1 for a dark one and 0 for a light one.

    ``x_mm``, ``y_mm`` and the size take in the quiet zone of ``quiet`` modules on every side.
    """

    x_mm: float
    y_mm: float
    module_mm: float
    quiet: int
    rows: tuple[str, ...]
    data: str
    field: Field = Field.CODE

    @property
    def side_mm(self) -> float:
        """The width and height with the quiet zones."""
        return (len(self.rows) + 2 * self.quiet) * self.module_mm

    @property
    def place(self) -> Place:
        """The code with its quiet zone."""
        return Place(self.x_mm, self.y_mm, self.x_mm + self.side_mm, self.y_mm + self.side_mm)

    def dark(self) -> Iterator[tuple[float, float, float, float]]:
        """Yield left, top, width and height of each run of dark modules."""
        module = self.module_mm
        for row, modules in enumerate(self.rows):
            at = 0
            for value, run in groupby(modules):
                wide = sum(1 for _ in run)
                if value == "1":
                    left = self.x_mm + (self.quiet + at) * module
                    yield left, self.y_mm + (self.quiet + row) * module, wide * module, module
                at += wide


@dataclass(frozen=True, slots=True)
class Picture:
    """A pictogram by its name, in a square."""

    x_mm: float
    y_mm: float
    side_mm: float
    name: str
    field: Field = Field.PICTOGRAM

    @property
    def place(self) -> Place:
        """The square."""
        return Place(self.x_mm, self.y_mm, self.x_mm + self.side_mm, self.y_mm + self.side_mm)


Item: TypeAlias = GlyphRun | Rule | BarRun | MatrixRun | Picture


@dataclass(frozen=True, slots=True)
class Page:
    """One label: its size and what stands where, in reading order."""

    width_mm: float
    height_mm: float
    items: tuple[Item, ...]

    @property
    def place(self) -> Place:
        """The whole face of the label."""
        return Place(0, 0, self.width_mm, self.height_mm)


@dataclass(frozen=True, slots=True)
class Bookmark:
    """An entry of the PDF's outline: its page, counted from 0, and how deep it stands, from 0."""

    title: str
    page: int
    level: int = 0


@dataclass(frozen=True, slots=True)
class Origin:
    """Which house made a file and when, as its properties say; never a person."""

    house: str = ""
    at: datetime | None = None


UNSAID = Origin()


def shifted(page: Page, right_mm: float, down_mm: float) -> Page:
    """Return the page moved by a printer's offset.

    Raises :class:`formulary.errors.Refusal` if that would push anything off the label.
    """
    if not right_mm and not down_mm:
        return page
    items = tuple(moved(item, right_mm, down_mm) for item in page.items)
    if not all(item.place.within(page.place) for item in items):
        raise Refusal(message("label.offset_leaves_label"))
    return replace(page, items=items)


def moved(item: Item, right_mm: float, down_mm: float) -> Item:
    """Return something so far to the right and down."""
    there = replace(item, x_mm=item.x_mm + right_mm, y_mm=item.y_mm + down_mm)
    if isinstance(there, BarRun):
        return replace(there, bars=tuple((x + right_mm, width) for x, width in there.bars))
    return there
