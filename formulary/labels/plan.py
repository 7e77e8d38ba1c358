"""Which field stands where and how large: the same order on every label and every stock.

What the patient must not miss comes first and largest, the maker last. Least sizes and line
spacing follow USP <17> (essentials 11 pt sans serif where there is room, 25 to 30 % line space)
and German advice for small labels (nothing under 6 pt but on the smallest containers).
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from formulary.labels.metrics import Weight
from formulary.labels.page import MM_PER_POINT, Field
from formulary.labels.stock import LabelStock

# Sections are parted by a hairline; the fields of one row share a line while they fit on it.
SECTIONS: tuple[tuple[tuple[Field, ...], ...], ...] = (
    ((Field.NAME, Field.STRENGTH), (Field.PATIENT, Field.QUANTITY)),
    ((Field.DIRECTIONS,),),
    ((Field.USE_BY, Field.LOT), (Field.STORAGE,)),
    (
        (Field.AFTER_OPENING, Field.MADE_ON, Field.CONTAINER, Field.PRESCRIBER),
        (Field.WARNINGS,),
        (Field.EXTRA,),
    ),
)
MAKER = (Field.HOUSE, Field.ADDRESS, Field.TELEPHONE)
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
        Field.STORAGE,
    }
)
_LARGEST = frozenset({Field.STAMP, Field.NAME, Field.STRENGTH})
_BOLD = _LARGEST | {Field.PATIENT, Field.USE_BY, Field.HOUSE}

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

    A dense one lets all small print share lines, where a line for each field has no room.
    """

    essential: float
    small: float
    leading: float
    dense: bool = False

    def size(self, field: Field) -> float:
        """Return the type size of a field in points."""
        if field in _LARGEST:
            return self.essential * (1 + (self.leading - _TIGHT) * _GROWTH)
        return self.essential if field in ESSENTIAL else self.small

    @property
    def gap_mm(self) -> float:
        """The space above and below a hairline."""
        return (self.leading - _TOUCHING) * self.essential * MM_PER_POINT


_TIGHT = 1.18
_AIRY = 1.28
# Lines this close would leave no room for a hairline between them.
_TOUCHING = 1.1
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
    """Yield the type sizes to try, best first: small print gives way before essentials do."""
    given = sizes(stock)
    steps = round((given.largest - given.least) / _STEP_PT)
    for step in range(steps, -1, -1):
        essential = given.least + step * _STEP_PT
        leading = _TIGHT + (_AIRY - _TIGHT) * step / steps
        small = (max(given.least_small, essential * part) for part in (_GENEROUS, _MEAGRE))
        yield from (Scale(essential, size, leading) for size in dict.fromkeys(small))
    yield Scale(given.least, given.least_small, _TIGHT, dense=True)


def sections(scale: Scale) -> tuple[tuple[tuple[Field, ...], ...], ...]:
    """Return the rows of each section."""
    if not scale.dense:
        return SECTIONS
    *essential, small_print = SECTIONS
    return (*essential, (tuple(field for row in small_print for field in row),))


def weight(field: Field) -> Weight:
    """Return the weight of a field's type."""
    return Weight.BOLD if field in _BOLD else Weight.REGULAR
