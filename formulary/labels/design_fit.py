"""A layout to begin with that the house's own labels have room on: boxes as large as they need.

Where the rows of a first layout would refuse a label that the program's own layout holds, the rows
are ruled from what these labels say.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field

from formulary.errors import Refusal
from formulary.labels.arrange import Overfull, Room, set_rows
from formulary.labels.content import LabelContent
from formulary.labels.design import ESSENTIALS, NO_TEXT, Box, Design, Thing, asked_of
from formulary.labels.design_checks import design_findings, stops
from formulary.labels.design_start import APART_MM, SMALL, STEP_PT, code_corner, suggested, up
from formulary.labels.designed import floor_of, has_room, least_height, least_size
from formulary.labels.jar_code import JarCode
from formulary.labels.layout import room_for
from formulary.labels.metrics import width_mm
from formulary.labels.page import MM_PER_POINT, Field, Page, Place
from formulary.labels.pictogram import DIAMOND_MM
from formulary.labels.pictures import must_show
from formulary.labels.plan import Floor, Scale, raised, sizes, weight
from formulary.labels.stock import LabelStock
from formulary.labels.wording import statements
from formulary.wording.label_profile import Profile

_ROWS = (
    Thing.NAME,
    Thing.STRENGTH,
    Thing.QUANTITY,
    Thing.PATIENT,
    Thing.FORM,
    Thing.ROUTE,
    Thing.DIRECTIONS,
    Thing.USE_BY,
    Thing.LOT,
    Thing.BESIDE,
)
_LEADING = 1.06
_BETWEEN_EM = 0.8
_SPARE_MM = 0.1
_MOST_MM = 300
_PARTS = (1, 0.8, 0.6, 0.4, 0.2)


def fitting(
    stock: LabelStock, profile: Profile, jar: JarCode, labels: Sequence[LabelContent]
) -> Design:
    """Return a first layout that holds those labels which the program's own layout holds.

    Where no rows hold all of them, it is the layout that holds the most.
    """
    first = suggested(stock, profile, jar)
    held = sorted((each for each in labels if _held_by_program(each, stock)), key=_length)
    best, most = first, _count(first, held)
    for part in _PARTS if held else ():
        # What the rows can't hold together with the others, the longest first, is left out.
        for design in _ruled(first, profile, jar, held[: math.ceil(len(held) * part)]):
            if most == len(held):
                return best
            count = _count(design, held)
            if count > most:
                best, most = design, count
    return best


def _length(label: LabelContent) -> int:
    return sum(map(len, statements(label).values()))


def _held_by_program(label: LabelContent, stock: LabelStock) -> bool:
    try:
        return isinstance(room_for(label, stock), Page)
    except Refusal:
        return False


def _count(design: Design, labels: Sequence[LabelContent]) -> int:
    return sum(has_room(design, each) for each in labels)


def _ruled(
    first: Design, profile: Profile, jar: JarCode, labels: Sequence[LabelContent]
) -> Iterator[Design]:
    """Yield sound layouts ruled from what the labels say, those in the largest type first."""
    stock, floor = first.stock, floor_of(profile, first.stock)
    given = raised(sizes(stock), floor)
    said = tuple(statements(each) for each in labels)
    says = {Thing(each.value) for one in said for each in one if each in set(map(str, Thing))}
    diamonds = any(must_show(each) for each in labels)
    things = frozenset(says | asked_of(profile) | {Thing.QUANTITY, Thing.USE_BY, Thing.LOT})
    for step in range(round((given.largest - given.least) / STEP_PT), -1, -1):
        size = given.least + step * STEP_PT
        rows = _Rows(Design(stock), floor, code_corner(first, jar), size, said, things, diamonds)
        try:
            design = Design(stock, tuple(rows.boxes()))
        except Overfull:
            continue
        if not stops(design_findings(design, profile, jar)):
            yield design


@dataclass(slots=True)
class _Line:
    """A row of things that stand side by side, and where it stands."""

    top: float
    bottom: float
    right: float
    things: list[tuple[Thing, float]] = field(default_factory=list)


@dataclass(frozen=True, slots=True)
class _Rows:
    """What rows are ruled from: the stock, the corner of the code, and what labels say."""

    empty: Design
    floor: Floor
    code: Place
    size_pt: float
    said: tuple[Mapping[Field, str], ...]
    things: frozenset[Thing]
    diamonds: bool

    def boxes(self) -> Iterator[Box]:
        """Yield all boxes. Raises Overfull where a thing has no room."""
        inside = self.empty.inside
        band = up(least_height(self.size_pt)) + 2 * APART_MM
        yield self._box(
            Thing.STAMP, Place(inside.left, inside.top, inside.right, inside.top + band)
        )
        lines = self._lines(inside.top + band + APART_MM)
        for line in lines:
            yield from self._row(line)
        yield from self._rest(lines[-1].bottom + APART_MM)
        yield self._box(Thing.SQUARE, self.code)

    def _lines(self, top: float) -> list[_Line]:
        """Return the rows: each thing in the first one, below the name, that has room for it."""
        lines: list[_Line] = []
        for thing in _ROWS:
            if thing not in self.things:
                continue
            wide = self._wide(thing)
            there = next((each for each in lines if self._beside(each, wide)), None)
            if there is None:
                there = self._new_line(thing, lines[-1].bottom if lines else top)
                lines.append(there)
            there.things.append((thing, wide))
        return lines

    def _beside(self, line: _Line, wide: float) -> bool:
        """Tell whether a thing so wide has room on a row of one line of type."""
        used = sum(each for _, each in line.things) + self.empty.inside.left
        single = line.bottom - line.top < 2 * least_height(self.size_pt)
        return single and used + wide <= line.right

    def _new_line(self, thing: Thing, top: float) -> _Line:
        right = self._right(top + least_height(self.size_pt))
        high = max(self._high(thing, right), least_height(self.size_pt))
        if self._right(top + up(high)) < right:
            right = self._right(top + up(high))
            high = max(self._high(thing, right), high)
        bottom = top + up(high)
        if bottom > self.empty.inside.bottom:
            raise Overfull(thing.field)
        return _Line(top, bottom, right)

    def _wide(self, thing: Thing) -> float:
        """Return how wide the longest of the labels' texts is on one line."""
        texts = [each.get(thing.field, "") for each in self.said]
        between = _BETWEEN_EM * self.size_pt * MM_PER_POINT
        widest = max(width_mm(each, weight(thing.field), self.size_pt) for each in texts)
        return widest + between

    def _high(self, thing: Thing, right: float) -> float:
        """Return how high a box is that holds each of the labels' texts."""
        room = Room(Place(self.empty.inside.left, 0, right, _MOST_MM))
        scale = Scale(self.size_pt, self.size_pt, _LEADING, full=True)
        return max(set_rows([(thing.field,)], each, room, scale).bottom for each in self.said)

    def _row(self, line: _Line) -> Iterator[Box]:
        """Yield the boxes of a row; what is to spare goes to each of them alike."""
        left = self.empty.inside.left
        spare = (line.right - left - sum(wide for _, wide in line.things)) / len(line.things)
        for thing, wide in line.things:
            end = line.right if thing is line.things[-1][0] else left + wide + spare
            yield self._box(thing, Place(left, line.top, end, line.bottom))
            left = end

    def _rest(self, top: float) -> Iterator[Box]:
        """Yield the small print round the code, beside the pictograms that have to be shown."""
        inside = self.empty.inside
        right = inside.right if top <= self.code.top else self.code.left - APART_MM
        if self.diamonds:
            right = self.code.left - APART_MM
            left = right - 2 * (DIAMOND_MM + 1)
            high = up(DIAMOND_MM)
            if inside.bottom - high < top:
                raise Overfull(Field.PICTOGRAM)
            yield self._box(
                Thing.PICTOGRAMS, Place(left, inside.bottom - high, right, inside.bottom)
            )
            right = left - APART_MM
        yield self._box(Thing.REST, Place(inside.left, top, right, inside.bottom))

    def _right(self, bottom: float) -> float:
        above = bottom <= self.code.top
        return self.empty.inside.right if above else self.code.left - APART_MM

    def _box(self, thing: Thing, place: Place) -> Box:
        left, top = round(place.left, 2), round(place.top, 2)
        width, height = round(place.right - left, 2), round(place.bottom - top, 2)
        return Box(thing, left, top, width, height, self._size(thing))

    def _size(self, thing: Thing) -> float:
        if thing in NO_TEXT:
            return 0.0
        if thing in ESSENTIALS:
            return self.size_pt
        least = least_size(self.empty.stock, thing, self.floor)
        return max(least, self.size_pt * SMALL // STEP_PT * STEP_PT)
