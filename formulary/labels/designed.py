"""A label by a layout of the house: every statement in its box, or a refusal that names it.

The type is the box's own and falls by half points where there is much to say, never below what the
jurisdiction and the stock ask for.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from itertools import groupby

from formulary.errors import Refusal
from formulary.labels.arrange import Overfull, Piece, Room, SetRows, centred, set_rows
from formulary.labels.barcode import bars, code_width_mm
from formulary.labels.content import LabelContent, jar_of
from formulary.labels.data_matrix import data_matrix, largest_module_mm
from formulary.labels.design import Align, Box, Design, Thing
from formulary.labels.flow import Type
from formulary.labels.jar_code import JarCode
from formulary.labels.layout import floor_for, no_help
from formulary.labels.overflow import Overflow, parts_of
from formulary.labels.page import (
    ASCENT,
    DESCENT,
    MM_PER_POINT,
    BarRun,
    Field,
    GlyphRun,
    Item,
    MatrixRun,
    Page,
    Place,
    Rule,
    dot_mm,
)
from formulary.labels.parts import FIELDS, Part
from formulary.labels.pictures import must_show, pictograms_for, row_of, row_width_mm
from formulary.labels.plan import (
    ESSENTIAL,
    SMALLEST_PT,
    Floor,
    Row,
    Scale,
    is_for_small_containers,
    raised,
    sizes,
    small_print,
    weight,
)
from formulary.labels.run_in import set_run_in
from formulary.labels.stock import LabelStock
from formulary.labels.wording import statements
from formulary.messages import Message, message
from formulary.wording.label_profile import Profile, label_profile

# As close as lines stand on a full label: no ink touches.
_LEADING = 1.06
_STEP_PT = 0.5
_BAND_AROUND_MM = 0.25
_HAIR = 1e-6


class NoPlace(Refusal):
    """``field`` has no room, or no place at all, on a label by the house's layout for ``stock``.

    ``ways`` are what else may be chosen: a second label, a leaflet.
    """

    def __init__(
        self,
        field: Field,
        stock: LabelStock,
        ways: tuple[Overflow, ...] = (),
        key: str = "layouts.no_room",
        part: Part = Part.WHOLE,
    ) -> None:
        super().__init__(no_help(_said(field, stock, ways, key), part))
        self.field = field
        self.stock = stock
        self.ways = ways


def lay_out_by(design: Design, content: LabelContent, dots_per_inch: int | None = None) -> Page:
    """Return the label as the house laid it out.

    Raises :class:`NoPlace`, or another :class:`formulary.errors.Refusal` for what can't be said.
    """
    dots = dots_per_inch or design.stock.dots_per_inch
    found = _tried(design, content, dots)
    if isinstance(found, Page):
        return found
    key = "layouts.no_room" if design.says(found) else "layouts.no_place_for"
    raise NoPlace(found, design.stock, _ways(design, content, dots), key, content.part)


def drawn_by(
    design: Design, content: LabelContent, dots_per_inch: int | None = None
) -> tuple[Page, frozenset[Field]]:
    """Return the label with what has room, and what hasn't: to look at, never to print.

    Raises a :class:`formulary.errors.Refusal` for what can't be said.
    """
    label = _Label.of(design, content, dots_per_inch or design.stock.dots_per_inch)
    items: list[Item] = []
    lost = set(label.unplaced())
    for box in design.boxes:
        try:
            items += label.in_box(box)
        except Overfull as trouble:
            lost.add(Field.NONE if box.thing is Thing.REST else trouble.field)
    return Page(design.stock.width_mm, design.stock.height_mm, tuple(items)), frozenset(lost)


def has_room(design: Design, content: LabelContent) -> bool:
    """Tell whether all that a label says has room by a layout; not for what can't be said."""
    try:
        return isinstance(_tried(design, content, design.stock.dots_per_inch), Page)
    except Refusal:
        return False


def least_size(stock: LabelStock, thing: Thing, floor: Floor) -> float:
    """Return the least size of type in points for a thing on a stock."""
    given = raised(sizes(stock), floor)
    return given.least if thing.field in ESSENTIAL else given.least_small


def floor_of(profile: Profile, stock: LabelStock) -> Floor:
    """Return the least type that a jurisdiction asks for on a stock, that of small containers."""
    small = profile.small
    if small is not None and is_for_small_containers(stock):
        return Floor(small.essential_pt, profile.small_pt or SMALLEST_PT, small=True)
    return Floor(profile.essential_pt, profile.small_pt)


def least_height(size_pt: float) -> float:
    """Return the height in mm of one line of Latin letters of a size."""
    return max(_LEADING, ASCENT + DESCENT) * size_pt * MM_PER_POINT


def _tried(design: Design, content: LabelContent, dots: int) -> Page | Field:
    try:
        items = tuple(_Label.of(design, content, dots).items())
    except Overfull as trouble:
        return trouble.field
    return Page(design.stock.width_mm, design.stock.height_mm, items)


def _ways(design: Design, content: LabelContent, dots: int) -> tuple[Overflow, ...]:
    if content.part is not Part.WHOLE:
        return ()
    return tuple(
        way
        for way in (Overflow.SECOND_LABEL, Overflow.LEAFLET)
        if all(isinstance(_tried(design, part, dots), Page) for part in parts_of(content, way))
    )


def _said(field: Field, stock: LabelStock, ways: tuple[Overflow, ...], key: str) -> Message:
    said = message(key, field=message(f"label.field.{field}"), stock=stock.code)
    if not ways:
        return said
    return message("label.other_ways", sentence=said, ways=tuple(way.said for way in ways))


@dataclass(frozen=True, slots=True)
class _Label:
    """One label that is being set: what it says, and by which layout."""

    design: Design
    content: LabelContent
    said: Mapping[Field, str]
    jar: JarCode
    dots: int
    floor: Floor

    @classmethod
    def of(cls, design: Design, content: LabelContent, dots: int) -> _Label:
        """Begin a label."""
        said = statements(content)
        return cls(design, content, said, jar_of(content), dots, floor_for(content))

    def items(self) -> Iterator[Item]:
        """Yield all that stands on it. Raises Overfull for what has no room or no place."""
        for field in self.unplaced():
            raise Overfull(field)
        for box in self.design.boxes:
            yield from self.in_box(box)

    def unplaced(self) -> Iterator[Field]:
        """Yield what it has to say or show and has no place for."""
        yield from (field for field in self.said if not self.design.says(field))
        if Thing.PICTOGRAMS not in self.design.things and must_show(self.content):
            yield Field.PICTOGRAM

    def in_box(self, box: Box) -> tuple[Item, ...]:
        """Return what stands in a box. Raises Overfull where that has no room."""
        match box.thing:
            case Thing.SQUARE:
                return (self._square(box),)
            case Thing.BARS:
                return (self._bars(box),)
            case Thing.PICTOGRAMS:
                return self._pictograms(box)
            case Thing.STAMP:
                return self._stamp(box)
            case _:
                return self._text(box)

    def _square(self, box: Box) -> MatrixRun:
        module = largest_module_mm(self.jar, min(box.width, box.height), self.dots)
        if not module:
            raise Overfull(Field.CODE)
        return data_matrix(self.jar, self._up(box.left), self._up(box.top), self.dots, module)

    def _bars(self, box: Box) -> BarRun:
        dot, wide = dot_mm(self.dots), code_width_mm(self.content.lot, self.dots)
        if wide + dot > box.width + _HAIR:
            raise Overfull(Field.CODE)
        return bars(self.content.lot, box.left, box.top, box.height, self.dots)

    def _pictograms(self, box: Box) -> tuple[Item, ...]:
        shown = pictograms_for(self.content)
        items = row_of(shown, box.left, box.top + box.height)
        high = all(each.place.top >= box.top - _HAIR for each in items)
        if high and row_width_mm(shown) <= box.width + _HAIR:
            return items
        if must_show(self.content):
            raise Overfull(Field.PICTOGRAM)
        return ()

    def _stamp(self, box: Box) -> tuple[Item, ...]:
        """Return white letters on a black band that fills its box, as large as it lets them be."""
        text = self.said.get(Field.STAMP)
        if text is None:
            return ()
        ground = Rule(box.left, box.top, box.width, box.height, Field.STAMP)
        for size in self._sizes(box):
            piece = Piece(Field.STAMP, text, Type(size, weight(Field.STAMP)))
            wide = piece.width <= box.width - 2 * _BAND_AROUND_MM
            if wide and piece.ink_mm <= box.height - 2 * _BAND_AROUND_MM:
                return (ground, *centred(piece, box.place, inverse=True))
        raise Overfull(Field.STAMP)

    def _text(self, box: Box) -> tuple[GlyphRun, ...]:
        row = self._row(box)
        trouble = Overfull(box.thing.field)
        for size in self._sizes(box):
            try:
                return _aligned(self._set(box, row, size), box)
            except Overfull as tried:
                trouble = tried
        raise trouble

    def _set(self, box: Box, row: Row, size: float) -> SetRows:
        scale = Scale(size, size, _LEADING, full=True)
        if box.thing is Thing.REST:
            room = Room(box.place, self.design.corner_of(box))
            return set_run_in(row, self.said, room, scale)
        return set_rows([row], self.said, Room(box.place), scale)

    def _row(self, box: Box) -> Row:
        """Return what stands in a box: one statement, or all that have none of their own."""
        if box.thing is not Thing.REST:
            return (box.thing.field,)
        order = label_profile(self.content.profile).order
        row = small_print(tuple(dict.fromkeys(FIELDS[each] for each in order)))
        own = {each.thing.field for each in self.design.boxes}
        return tuple(field for field in row if field not in own)

    def _sizes(self, box: Box) -> Iterator[float]:
        """Yield the sizes to try, the box's own first."""
        least = least_size(self.design.stock, box.thing, self.floor)
        size = max(box.size_pt, least)
        while size > least:
            yield size
            size -= _STEP_PT
        yield least

    def _up(self, at_mm: float) -> float:
        """Return the first whole dot from there."""
        dot = dot_mm(self.dots)
        return math.ceil(at_mm / dot - _HAIR) * dot


def _aligned(done: SetRows, box: Box) -> tuple[GlyphRun, ...]:
    """Return lines, which begin where reading does, moved to where the box wants them."""
    if box.align is Align.START:
        return done.items
    return tuple(
        run
        for _, line in groupby(done.items, key=lambda run: run.y_mm)
        for run in _line_aligned(tuple(line), box)
    )


def _line_aligned(line: tuple[GlyphRun, ...], box: Box) -> Iterator[GlyphRun]:
    places = [run.place for run in line]
    first, last = min(each.left for each in places), max(each.right for each in places)
    spare = Place(first - box.left, 0, box.left + box.width - last, 0)
    # One of the two is nothing: the lines stand where reading begins.
    by = spare.right - spare.left
    if box.align is Align.CENTRE:
        by /= 2
    for run in line:
        yield replace(run, x_mm=run.x_mm + by)
