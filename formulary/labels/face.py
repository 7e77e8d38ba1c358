"""One label's face at one scale: stamp, sections under hairlines, maker and code at the foot."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from formulary.labels.arrange import Overfull, Piece, Room, centred, line_height, set_rows
from formulary.labels.barcode import bars, code_width_mm
from formulary.labels.flow import Type
from formulary.labels.page import (
    MM_PER_INCH,
    BarRun,
    Field,
    GlyphRun,
    Item,
    Page,
    Place,
    Rule,
)
from formulary.labels.plan import MAKER, Scale, sections, sizes, weight
from formulary.labels.stock import LabelStock

_FRAME_DOTS = 2
_INSIDE_FRAME_MM = 0.5


@dataclass(frozen=True, slots=True)
class Face:
    """What one label is set from: words, lot, stock, printer's dots and type sizes."""

    said: Mapping[Field, str]
    lot: str
    stock: LabelStock
    dots_per_inch: int
    scale: Scale

    @property
    def dot(self) -> float:
        """One dot of the printer in mm."""
        return MM_PER_INCH / self.dots_per_inch

    @property
    def inside(self) -> Place:
        """The label without its margins."""
        margin = self.stock.margin_mm
        return Place(margin, margin, self.stock.width_mm - margin, self.stock.height_mm - margin)


def set_face(face: Face) -> Page:
    """Return the label. Raises Overfull, naming the first field that has no room."""
    stamp, box = _stamp(face)
    code = _code(face, box)
    room = Room(box, code.place)
    body, bottom = _sections(face, room)
    maker = _maker(face, room.below(bottom))
    items = (*stamp, *body, *maker, code)
    return Page(face.stock.width_mm, face.stock.height_mm, items)


def _stamp(face: Face) -> tuple[tuple[Item, ...], Place]:
    """Return a black band across the label and a frame around it, and the room they leave."""
    box = face.inside
    if Field.STAMP not in face.said:
        return (), box
    piece = _largest_stamp(face, box)
    line = _FRAME_DOTS * face.dot
    band = replace(box, bottom=box.top + line_height(piece.style.size_pt, face.scale))
    rules = (
        _filled(band),
        _filled(replace(box, top=band.bottom, right=box.left + line)),
        _filled(replace(box, top=band.bottom, left=box.right - line)),
        Rule(
            box.left + line,
            box.bottom - line,
            box.width - 2 * line,
            line,
            Field.STAMP,
        ),
    )
    inset = line + _INSIDE_FRAME_MM
    rest = Place(
        box.left + inset, band.bottom + face.scale.gap_mm, box.right - inset, box.bottom - inset
    )
    return (*rules, *centred(piece, band, inverse=True)), rest


def _largest_stamp(face: Face, box: Place) -> Piece:
    """Return the stamp's line as large as the label's width lets it be."""
    text, bold = face.said[Field.STAMP], weight(Field.STAMP)
    least = sizes(face.stock).least
    size = face.scale.size(Field.NAME)
    while size >= least:
        piece = Piece(Field.STAMP, text, Type(size, bold))
        if piece.width <= box.width - 2 * _INSIDE_FRAME_MM:
            return piece
        size -= 0.5
    raise Overfull(Field.STAMP)


def _filled(place: Place) -> Rule:
    return Rule(
        place.left, place.top, place.right - place.left, place.bottom - place.top, Field.STAMP
    )


def _sections(face: Face, room: Room) -> tuple[tuple[Item, ...], float]:
    """Set the sections from the top, a hairline before each but the first; say where they end."""
    items: list[Item] = []
    top, gap = room.box.top, face.scale.gap_mm
    for rows in sections(face.scale):
        if not any(field in face.said for row in rows for field in row):
            continue
        if items:
            items.append(_hairline(face, room, top + gap))
            top += 2 * gap + face.dot
        done = set_rows(rows, face.said, room.below(top), face.scale)
        items += done.items
        top = done.bottom
    return tuple(items), top


def _hairline(face: Face, room: Room, top: float) -> Rule:
    """Return a line of one dot, on a whole dot so that it prints evenly."""
    on_dot = round(top / face.dot) * face.dot
    right = room.right_of_line(on_dot + face.dot)
    return Rule(room.box.left, on_dot, right - room.box.left, face.dot)


def _maker(face: Face, room: Room) -> tuple[GlyphRun, ...]:
    """Set the maker at the bottom beside the code, or in running lines if that is too high."""
    box = room.box
    beside = Room(Place(box.left, 0, room.right_of_line(box.bottom), box.bottom - box.top))
    for rows in ([(field,) for field in MAKER], [MAKER]):
        try:
            done = set_rows(rows, face.said, beside, face.scale)
        except Overfull:
            continue
        down = box.bottom - done.bottom
        return tuple(replace(run, y_mm=run.y_mm + down) for run in done.items)
    return set_rows([MAKER], face.said, room, face.scale).items


def _code(face: Face, box: Place) -> BarRun:
    """Return the lot's code in the bottom right corner, on whole dots."""
    width = code_width_mm(face.lot, face.dots_per_inch)
    left = int((box.right - width) / face.dot) * face.dot
    if left < box.left:
        raise Overfull(Field.CODE)
    height = sizes(face.stock).code_mm
    return bars(face.lot, left, box.bottom - height, height, face.dots_per_inch)
