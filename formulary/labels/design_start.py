"""A layout to begin with, for a stock of any size: in the order of all labels, as large as it can.

It keeps every rule that a layout is held to where the stock has room for it.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from formulary.labels.data_matrix import matrix_side_mm
from formulary.labels.design import ESSENTIALS, NO_TEXT, Align, Box, Design, Thing, asked_of
from formulary.labels.design_checks import PRINTERS
from formulary.labels.designed import floor_of, least_height, least_size
from formulary.labels.jar_code import JarCode
from formulary.labels.page import Place, dot_mm
from formulary.labels.pictogram import DIAMOND_MM
from formulary.labels.plan import Floor, raised, sizes
from formulary.labels.stock import LabelStock
from formulary.wording.label_profile import Profile

_GRID_MM = 0.1
APART_MM = 0.2
_LEAST_REST_MM = 2.5
# Two hazard diamonds side by side, where the small print keeps enough of the line.
_DIAMONDS_MM = 2 * (DIAMOND_MM + 1)
_LEAST_REST_WIDTH_MM = 40
STEP_PT = 0.5
# What says more has more of its row.
_WIDE = {
    Thing.QUANTITY: 0.8,
    **dict.fromkeys((Thing.NAME, Thing.STRENGTH, Thing.PATIENT, Thing.ROUTE, Thing.USE_BY), 1.6),
}
SMALL = 2 / 3
# The small print has this part of the label's height where the type is larger than it must be.
_REST_PART = 0.4


def suggested(stock: LabelStock, profile: Profile, jar: JarCode) -> Design:
    """Return a first layout for a stock and the rules of a jurisdiction."""
    floor, empty = floor_of(profile, stock), Design(stock)
    given, code = raised(sizes(stock), floor), code_corner(empty, jar)
    count = round((given.largest - given.least) / STEP_PT)
    tried = (
        _Start(empty, floor, code, given.least + step * STEP_PT) for step in range(count, 0, -1)
    )
    least = _Start(empty, floor, code, given.least)
    start = next((each for each in tried if each.leaves_room(asked_of(profile))), least)
    return Design(stock, tuple(start.boxes(asked_of(profile))))


def code_corner(empty: Design, jar: JarCode) -> Place:
    """Return the place of the square code: the bottom right corner, for every printer's dots."""
    side = up(max(matrix_side_mm(jar, dots) + dot_mm(dots) for dots in PRINTERS))
    inside = empty.inside
    return Place(inside.right - side, inside.bottom - side, inside.right, inside.bottom)


@dataclass(frozen=True, slots=True)
class _Start:
    """What a first layout is ruled from: the stock, its least type, and the corner of the code."""

    empty: Design
    floor: Floor
    code: Place
    size_pt: float

    def leaves_room(self, asked: frozenset[Thing]) -> bool:
        """Tell whether the small print has a fair part of the label."""
        rest = next(each for each in self.boxes(asked) if each.thing is Thing.REST)
        return rest.height >= _REST_PART * self._high

    def boxes(self, asked: frozenset[Thing]) -> Iterator[Box]:
        """Yield rows from the top: one thing or two side by side in each, the rest below."""
        inside = self.empty.inside
        top, band = inside.top, self._height(Thing.STAMP) + 2 * APART_MM
        yield self._box(Thing.STAMP, Place(inside.left, top, inside.right, top + band))
        top += band + APART_MM
        for row, lines in self._rows(asked):
            bottom = top + up(lines * self._height(row[0]))
            yield from self._row(row, top, bottom)
            top = bottom
        yield from self._rest(top + APART_MM)
        yield self._box(Thing.SQUARE, self.code)

    def _rows(self, asked: frozenset[Thing]) -> Iterator[tuple[tuple[Thing, ...], int]]:
        """Yield rows of things with how many lines they take; two for directions, with room."""
        way = tuple(each for each in (Thing.FORM, Thing.ROUTE) if each in asked)
        # Stamp, three rows, the dates, their second language and the small print want their room.
        line = self._height(Thing.NAME)
        spare = (self._high - _LEAST_REST_MM) / line - 6 - bool(way)
        if spare < 1:
            yield (Thing.NAME, Thing.STRENGTH), 1
            yield (Thing.PATIENT, Thing.LOT), 1
            yield (*way, Thing.DIRECTIONS), 1
            yield (Thing.USE_BY, Thing.QUANTITY), 1
        else:
            yield (Thing.NAME,), 1
            yield (Thing.STRENGTH, Thing.QUANTITY), 1
            yield (Thing.PATIENT,), 1
            yield from ((way, 1),) if way else ()
            yield (Thing.DIRECTIONS,), max(1, min(3, int(spare / 2)))
            yield (Thing.USE_BY, Thing.LOT), 1

    def _row(self, row: tuple[Thing, ...], top: float, bottom: float) -> Iterator[Box]:
        left, right = self.empty.inside.left, self._right(bottom)
        part = (right - left) / sum(_WIDE.get(each, 1) for each in row)
        for thing in row:
            end = left + part * _WIDE.get(thing, 1)
            last = thing is row[-1]
            align = Align.END if last and thing is not row[0] else Align.START
            gap = 0 if last else APART_MM
            yield self._box(thing, Place(left, top, end - gap, bottom), align)
            left = end

    def _rest(self, top: float) -> Iterator[Box]:
        """Yield the second language's line where there is room, and the small print."""
        inside = self.empty.inside
        beside = top + up(self._height(Thing.BESIDE))
        if inside.bottom - beside > 2 * _LEAST_REST_MM:
            yield self._box(Thing.BESIDE, Place(inside.left, top, self._right(beside), beside))
            top = beside
        right = self._right(inside.bottom)
        left = right - _DIAMONDS_MM - APART_MM
        if inside.bottom - top >= DIAMOND_MM and left - inside.left >= _LEAST_REST_WIDTH_MM:
            bottom = inside.bottom
            place = Place(left + APART_MM, bottom - up(DIAMOND_MM), right, bottom)
            yield self._box(Thing.PICTOGRAMS, place)
            right = left
        yield self._box(Thing.REST, Place(inside.left, top, right, inside.bottom))

    def _right(self, bottom: float) -> float:
        """Return where a line ends that goes down to there: before the code, or at the margin."""
        return self.code.left - APART_MM if bottom > self.code.top else self.empty.inside.right

    @property
    def _high(self) -> float:
        return self.empty.inside.bottom - self.empty.inside.top

    def _height(self, thing: Thing) -> float:
        return least_height(self._size(thing))

    def _size(self, thing: Thing) -> float:
        """Return the size of type for a thing; small print is two thirds as large, or its least."""
        if thing in ESSENTIALS:
            return self.size_pt
        least = least_size(self.empty.stock, thing, self.floor)
        return max(least, self.size_pt * SMALL // STEP_PT * STEP_PT)

    def _box(self, thing: Thing, place: Place, align: Align = Align.START) -> Box:
        size = 0.0 if thing in NO_TEXT else self._size(thing)
        left, top = round(place.left, 2), round(place.top, 2)
        width, height = round(place.right - left, 2), round(place.bottom - top, 2)
        return Box(thing, left, top, width, height, size, align)


def up(number: float) -> float:
    """Return a measure on the grid, no less."""
    return -int(-number / _GRID_MM // 1) * _GRID_MM
