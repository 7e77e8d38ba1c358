"""One label's face at one scale: stamp, sections under hairlines, maker and code at the foot."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from formulary.labels.arrange import (
    Overfull,
    Piece,
    SetRows,
    centred,
    line_height,
    set_rows,
)
from formulary.labels.barcode import bars, code_width_mm
from formulary.labels.flow import Type
from formulary.labels.page import (
    MM_PER_INCH,
    MM_PER_POINT,
    BarRun,
    Field,
    GlyphRun,
    Item,
    Page,
    Place,
    Rule,
)
from formulary.labels.plan import MAKER, SECTIONS, Scale, sizes, weight
from formulary.labels.stock import LabelStock

_FRAME_DOTS = 3
_INSIDE_FRAME_MM = 0.7
_FAR_DOWN = 10_000.0


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
    def gap(self) -> float:
        """The space above and below a hairline in mm."""
        return 0.12 * self.scale.essential * MM_PER_POINT

    @property
    def inside(self) -> Place:
        """The label without its margins."""
        margin = self.stock.margin_mm
        return Place(
            margin, margin, self.stock.width_mm - margin, self.stock.height_mm - margin
        )


def set_face(face: Face) -> Page:
    """Return the label. Raises Overfull, naming the first field that has no room."""
    stamp, box = _stamp(face)
    foot = _foot(face, box)
    sections = _sections(face, replace(box, bottom=_top_of(foot) - face.gap))
    return Page(face.stock.width_mm, face.stock.height_mm, (*stamp, *sections, *foot))


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
            box.right - box.left - 2 * line,
            line,
            Field.STAMP,
        ),
    )
    inset = line + _INSIDE_FRAME_MM
    rest = Place(box.left + inset, band.bottom + face.gap, box.right - inset, box.bottom - inset)
    return (*rules, *centred(piece, band, inverse=True)), rest


def _largest_stamp(face: Face, box: Place) -> Piece:
    """Return the stamp's line as large as the label's width lets it be."""
    text, bold = face.said[Field.STAMP], weight(Field.STAMP)
    least = sizes(face.stock).least
    size = face.scale.size(Field.NAME)
    while size >= least:
        piece = Piece(Field.STAMP, text, Type(size, bold))
        if piece.width <= box.right - box.left - 2 * _INSIDE_FRAME_MM:
            return piece
        size -= 0.5
    raise Overfull(Field.STAMP)


def _filled(place: Place) -> Rule:
    return Rule(
        place.left, place.top, place.right - place.left, place.bottom - place.top, Field.STAMP
    )


def _sections(face: Face, box: Place) -> tuple[Item, ...]:
    """Set the sections from the top, a hairline before each but the first."""
    items: list[Item] = []
    top = box.top
    for rows in SECTIONS:
        if not any(field in face.said for row in rows for field in row):
            continue
        if items:
            items.append(_hairline(face, replace(box, top=top + face.gap)))
            top += 2 * face.gap + face.dot
        done = set_rows(rows, face.said, replace(box, top=top), face.scale)
        items += done.items
        top = done.bottom
    return tuple(items)


def _hairline(face: Face, box: Place) -> Rule:
    """Return a line of one dot, on a whole dot so that it prints evenly."""
    top = round(box.top / face.dot) * face.dot
    return Rule(box.left, top, box.right - box.left, face.dot)


def _foot(face: Face, box: Place) -> tuple[Item, ...]:
    """Set the maker beside the code or above it, whichever is lower, at the bottom of the box."""
    code = _code(face, box)
    narrow = replace(box, top=0, right=code.x_mm, bottom=_FAR_DOWN)
    wide = replace(box, top=0, bottom=_FAR_DOWN)
    above = set_rows([MAKER], face.said, wide, face.scale)
    try:
        beside = set_rows([(field,) for field in MAKER], face.said, narrow, face.scale)
    except Overfull:
        beside = SetRows((), _FAR_DOWN)
    stacked = above.bottom + code.height_mm
    if max(beside.bottom, code.height_mm) <= stacked:
        return (*_lowered(beside, box.bottom), code)
    return (*_lowered(above, code.y_mm), code)


def _lowered(rows: SetRows, bottom: float) -> tuple[GlyphRun, ...]:
    down = bottom - rows.bottom
    return tuple(replace(run, y_mm=run.y_mm + down) for run in rows.items)


def _code(face: Face, box: Place) -> BarRun:
    """Return the lot's code in the bottom right corner, on whole dots."""
    width = code_width_mm(face.lot, face.dots_per_inch)
    left = int((box.right - width) / face.dot) * face.dot
    if left < box.left:
        raise Overfull(Field.CODE)
    height = sizes(face.stock).code_mm
    return bars(face.lot, left, box.bottom - height, height, face.dots_per_inch)


def _top_of(foot: tuple[Item, ...]) -> float:
    return min(item.place.top for item in foot)
