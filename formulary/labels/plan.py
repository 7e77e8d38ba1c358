"""Which field stands where and how large: the same order on every label and every stock.

What the patient must not miss comes first and largest, the maker last. Least sizes and line
spacing follow USP <17> (essentials 11 pt sans serif where there is room, 25 to 30 % line space)
and German advice for small labels (nothing under 6 pt but on the smallest containers).
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import TypeAlias

from formulary.labels.metrics import Weight
from formulary.labels.page import MM_PER_POINT, Field
from formulary.labels.stock import LabelStock

# The fields of one row share a line while they fit on it; space or a hairline parts the groups.
Row: TypeAlias = tuple[Field, ...]
Group: TypeAlias = tuple[Row, ...]

WAY: Row = (Field.FORM, Field.ROUTE)
DIRECTIONS: Row = (Field.DIRECTIONS,)
DATES: Row = (Field.USE_BY, Field.LOT)
# The same in a second language, where the first is read from the right.
BESIDE: Row = (Field.BESIDE,)
# What shares a line with others where there is room, and what takes lines of its own.
_SHORT: Row = (
    Field.AFTER_OPENING,
    Field.MADE_ON,
    Field.CONTAINER,
    Field.PRESCRIBER,
    Field.TARGET,
    Field.COMPOUNDED,
    Field.COPY,
    Field.PART,
)
_LONG: Row = (Field.WARNINGS, Field.COMPOSITION, Field.EXTRA)
MAKER = (Field.HOUSE, Field.ADDRESS, Field.TELEPHONE)
# On a full label these run on in one paragraph, the maker at its end.
_SMALL_PRINT: Row = (
    Field.AFTER_OPENING,
    Field.WARNINGS,
    Field.TARGET,
    Field.COMPOSITION,
    Field.EXTRA,
    Field.COMPOUNDED,
    Field.MADE_ON,
    Field.CONTAINER,
    Field.COPY,
    Field.PART,
    Field.PRESCRIBER,
)
ESSENTIAL = frozenset(
    {
        Field.STAMP,
        Field.NAME,
        Field.STRENGTH,
        Field.QUANTITY,
        Field.PATIENT,
        Field.FORM,
        Field.ROUTE,
        Field.DIRECTIONS,
        Field.USE_BY,
        Field.LOT,
        Field.BESIDE,
        Field.NUMBER,
        Field.STATUS,
    }
)
_LARGEST = frozenset({Field.STAMP, Field.NAME, Field.STRENGTH})
_BOLD = _LARGEST | {Field.PATIENT, Field.USE_BY, Field.HOUSE, Field.NUMBER, Field.STATUS}


def sections(order: Row = ()) -> tuple[Group, ...]:
    """Return what stands under name, strength, patient and quantity; the last group in ``order``.

    The essentials never change their places.
    """
    short, long = _sorted(_SHORT, order), _sorted(_LONG, order)
    return (
        (WAY, DIRECTIONS),
        (DATES, BESIDE, (Field.STORAGE,)),
        (short, *((field,) for field in long)),
    )


def small_print(order: Row = ()) -> Row:
    """Return what runs on in one paragraph on a full label, in ``order``, the maker at its end."""
    return (Field.STORAGE, *_sorted(_SMALL_PRINT, order), *MAKER)


def _sorted(row: Row, order: Row) -> Row:
    """Return a row with the fields that ``order`` names first, as it names them."""
    named = tuple(field for field in order if field in row)
    return (*named, *(field for field in row if field not in named))


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
SMALLEST_PT = _SMALL_CONTAINERS.least_small
LEAST_STAMP_PT = _SMALL_CONTAINERS.least
"""A stamp stands on one line of every stock: white on black it is seen as small as this too."""
_USUAL = Sizes(least=9, largest=12, least_small=6, code_mm=5)
_LARGE = Sizes(least=9, largest=14, least_small=6, code_mm=8)


@dataclass(frozen=True, slots=True)
class Floor:
    """The least type that a jurisdiction asks for, in points.

    With ``small`` the container is too small for the sizes of its stock, and they don't count.
    """

    essential: float = 0
    small_print: float = 0
    small: bool = False


NO_FLOOR = Floor()


def raised(given: Sizes, floor: Floor) -> Sizes:
    """Return sizes no smaller than a floor."""
    if floor.small:
        return replace(given, least=floor.essential, least_small=floor.small_print)
    least = max(given.least, floor.essential)
    return replace(
        given,
        least=least,
        largest=max(given.largest, least),
        least_small=max(given.least_small, floor.small_print),
    )


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


# Steps of falling size, each with the sizes of small print to try, best first.
Series: TypeAlias = tuple[tuple[Scale, ...], ...]

# Between lines of the least leading no ink touches: DejaVu takes 1.05 from accent to descender.
_CLOSE, _CLOSER_LEADING, _USUAL_LEADING, _AIRY = 1.06, 1.12, 1.18, 1.28
# Lines this close would leave no room for a hairline between them.
_NO_HAIRLINE = 1.1
# The name stands out by size as well as weight where there is room for it.
_GROWTH = 2.5
_STEP_PT = 0.5
# Small print this much smaller than the essentials still belongs to the same label.
_GENEROUS, _MEAGRE = 2 / 3, 0.56


def is_for_small_containers(stock: LabelStock) -> bool:
    """Tell whether a stock is so low that it is meant for small containers."""
    return stock.height_mm < _SMALL_CONTAINER_BELOW_MM


def sizes(stock: LabelStock) -> Sizes:
    """Return the type and code sizes for a stock."""
    if is_for_small_containers(stock):
        return _SMALL_CONTAINERS
    return _LARGE if stock.height_mm >= _LARGE_LABEL_FROM_MM else _USUAL


def scales(stock: LabelStock, floor: Floor = NO_FLOOR) -> Iterator[Scale]:
    """Yield the type sizes to try, best first: space and small print give way before essentials.

    Nothing is smaller than the stock's least sizes and the ``floor``.
    """
    for series in scale_series(stock, floor):
        for step in series:
            yield from step


def scale_series(stock: LabelStock, floor: Floor = NO_FLOOR) -> Iterator[Series]:
    """Yield them in series of the same kind: within one, each step needs less room than the last.

    The last step of the last series needs the least of all.
    """
    given = raised(sizes(stock), floor)
    count = round((given.largest - given.least) / _STEP_PT)
    steps = [(given.least + step * _STEP_PT, step / max(1, count)) for step in range(count, -1, -1)]
    yield tuple(
        _with_small_print(given, size, _USUAL_LEADING + (_AIRY - _USUAL_LEADING) * part)
        for size, part in steps
    )
    for leading in (_USUAL_LEADING, _CLOSER_LEADING, _CLOSE):
        yield tuple(_with_small_print(given, size, leading, full=True) for size, _ in steps)


def _with_small_print(
    given: Sizes, essential: float, leading: float, *, full: bool = False
) -> tuple[Scale, ...]:
    small = (max(given.least_small, essential * part) for part in (_GENEROUS, _MEAGRE))
    return tuple(Scale(essential, size, leading, full) for size in dict.fromkeys(small))


def weight(field: Field) -> Weight:
    """Return the weight of a field's type."""
    return Weight.BOLD if field in _BOLD else Weight.REGULAR
