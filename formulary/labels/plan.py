"""Which field stands where and how large: the same order on every label and every stock.

What the patient must not miss comes first and largest, the maker last. Least sizes and line
spacing follow USP <17> (essentials 11 pt sans serif where there is room, 25 to 30 % line space)
and German advice for small labels (nothing under 6 pt but on the smallest containers).
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import TypeAlias

from formulary.labels.metrics import Weight
from formulary.labels.page import MM_PER_POINT, Field
from formulary.labels.stock import LabelStock

# The fields of one row share a line while they fit on it; space or a hairline parts the groups.
Row: TypeAlias = tuple[Field, ...]
Group: TypeAlias = tuple[Row, ...]

DIRECTIONS: Row = (Field.DIRECTIONS,)
DATES: Row = (Field.USE_BY, Field.LOT)
# Under name, strength, patient and quantity.
SECTIONS: tuple[Group, ...] = (
    (DIRECTIONS,),
    (DATES, (Field.STORAGE,)),
    (
        (Field.AFTER_OPENING, Field.MADE_ON, Field.CONTAINER, Field.PRESCRIBER),
        (Field.WARNINGS,),
        (Field.EXTRA,),
    ),
)
MAKER = (Field.HOUSE, Field.ADDRESS, Field.TELEPHONE)
# On a full label these run on in one paragraph, the maker at its end.
SMALL_PRINT: Row = (
    Field.STORAGE,
    Field.AFTER_OPENING,
    Field.WARNINGS,
    Field.EXTRA,
    Field.MADE_ON,
    Field.CONTAINER,
    Field.PRESCRIBER,
    *MAKER,
)
ESSENTIAL = frozenset(
    {
        Field.STAMP,
        Field.NAME,
        Field.STRENGTH,
        Field.QUANTITY,
        Field.PATIENT,
        Field.DIRECTIONS,
        Field.USE_BY,
        Field.LOT,
        Field.NUMBER,
        Field.STATUS,
    }
)
_LARGEST = frozenset({Field.STAMP, Field.NAME, Field.STRENGTH})
_BOLD = _LARGEST | {Field.PATIENT, Field.USE_BY, Field.HOUSE, Field.NUMBER, Field.STATUS}

_SMALL_CONTAINER_BELOW_MM = 30
_LARGE_LABEL_FROM_MM = 40


@dataclass(frozen=True, slots=True)
class Sizes:
    """The least and the largest type of a class of stocks in points, its code's height in mm."""

    least: float
    largest: float
    least_small: float
    code_mm: float


_SMALL_CONTAINERS = Sizes(least=7, largest=9, least_small=5.5, code_mm=5)
_USUAL = Sizes(least=9, largest=12, least_small=6, code_mm=5)
_LARGE = Sizes(least=9, largest=14, least_small=6, code_mm=8)


@dataclass(frozen=True, slots=True)
class Scale:
    """One choice of type sizes in points; ``leading`` is the line height in parts of them.

    A full one is for a label with much to say: its small print runs on in one paragraph, and
    neither hairlines nor a frame take room from the text.
    """

    essential: float
    small: float
    leading: float
    full: bool = False

    def size(self, field: Field) -> float:
        """Return the type size of a field in points."""
        if field in _LARGEST:
            return self.essential * (1 + max(0.0, self.leading - _USUAL_LEADING) * _GROWTH)
        large = field in ESSENTIAL or (field is Field.STORAGE and not self.full)
        return self.essential if large else self.small

    @property
    def gap_mm(self) -> float:
        """The space between two groups of a full label, or above and below a hairline."""
        touching = _CLOSE if self.full else _NO_HAIRLINE
        return (self.leading - touching) * self.essential * MM_PER_POINT


# Between lines of the least leading no ink touches: DejaVu takes 1.05 from accent to descender.
_CLOSE, _CLOSER_LEADING, _USUAL_LEADING, _AIRY = 1.06, 1.12, 1.18, 1.28
# Lines this close would leave no room for a hairline between them.
_NO_HAIRLINE = 1.1
# The name stands out by size as well as weight where there is room for it.
_GROWTH = 2.5
_STEP_PT = 0.5
# Small print this much smaller than the essentials still belongs to the same label.
_GENEROUS, _MEAGRE = 2 / 3, 0.56


def sizes(stock: LabelStock) -> Sizes:
    """Return the type and code sizes for a stock."""
    if stock.height_mm < _SMALL_CONTAINER_BELOW_MM:
        return _SMALL_CONTAINERS
    return _LARGE if stock.height_mm >= _LARGE_LABEL_FROM_MM else _USUAL


def scales(stock: LabelStock) -> Iterator[Scale]:
    """Yield the type sizes to try, best first: space and small print give way before essentials."""
    given = sizes(stock)
    steps = round((given.largest - given.least) / _STEP_PT)
    for step in range(steps, -1, -1):
        leading = _USUAL_LEADING + (_AIRY - _USUAL_LEADING) * step / steps
        yield from _with_small_print(given, given.least + step * _STEP_PT, leading)
    for leading in (_USUAL_LEADING, _CLOSER_LEADING, _CLOSE):
        for step in range(steps, -1, -1):
            size = given.least + step * _STEP_PT
            yield from _with_small_print(given, size, leading, full=True)


def _with_small_print(
    given: Sizes, essential: float, leading: float, *, full: bool = False
) -> Iterator[Scale]:
    small = (max(given.least_small, essential * part) for part in (_GENEROUS, _MEAGRE))
    return (Scale(essential, size, leading, full) for size in dict.fromkeys(small))


def weight(field: Field) -> Weight:
    """Return the weight of a field's type."""
    return Weight.BOLD if field in _BOLD else Weight.REGULAR
