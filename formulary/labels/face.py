"""One label's face at one scale: stamp, what is said, and the codes in the bottom right corner."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from formulary.labels.arrange import Overfull, Piece, Room, centred, line_height
from formulary.labels.barcode import bars, code_width_mm
from formulary.labels.data_matrix import data_matrix, matrix_side_mm
from formulary.labels.flow import Type
from formulary.labels.full import set_full
from formulary.labels.jar_code import JarCode
from formulary.labels.page import (
    BarRun,
    Field,
    Item,
    MatrixRun,
    Page,
    Place,
    Rule,
    dot_mm,
)
from formulary.labels.pictures import Pictogram, row_of, row_width_mm
from formulary.labels.plan import LEAST_STAMP_PT, Row, Scale, sizes, weight
from formulary.labels.sections import set_sections
from formulary.labels.stock import LabelStock

_FRAME_DOTS = 2
_INSIDE_FRAME_MM = 0.5
# Descenders of the line above stay this far from the bars.
_ABOVE_CODE_MM = 0.3
_BESIDE_PICTURES_MM = 1.0
_BAND_AROUND_MM = 0.25
_LEAST_BELOW_BAND_MM = 0.25


@dataclass(frozen=True, slots=True)
class Face:
    """What one label is set from: words, jar, stock, printer's dots and type sizes.

    ``linear`` asks for the lot as bars beside the square code, ``order`` is that of the rest,
    ``pictograms`` stand left of the codes. ``from_right`` is how the label is read.
    """

    said: Mapping[Field, str]
    jar: JarCode
    stock: LabelStock
    dots_per_inch: int
    scale: Scale
    linear: bool = True
    order: Row = ()
    pictograms: tuple[Pictogram, ...] = ()
    from_right: bool = False

    @property
    def dot(self) -> float:
        """One dot of the printer in mm."""
        return dot_mm(self.dots_per_inch)

    @property
    def inside(self) -> Place:
        """The label without its margins."""
        margin = self.stock.margin_mm
        return Place(margin, margin, self.stock.width_mm - margin, self.stock.height_mm - margin)


def set_face(face: Face) -> Page:
    """Return the label. Raises Overfull, naming the first field that has no room."""
    stamp, box = _stamp(face)
    codes = _codes(face, box)
    pictures = _pictures(face, box, codes[0].place.left)
    taken = (*pictures, *codes)
    # A thermometer's figures would read on into what stands beside them.
    beside = _BESIDE_PICTURES_MM if pictures else 0.0
    left = min(each.place.left for each in taken) - beside
    highest = min(each.place.top for each in taken)
    corner = Place(left, highest - _ABOVE_CODE_MM, box.right, box.bottom)
    body = _body(face, Room(box, corner, face.from_right))
    return Page(face.stock.width_mm, face.stock.height_mm, (*stamp, *body, *taken))


def _body(face: Face, room: Room) -> tuple[Item, ...]:
    if face.scale.full:
        return set_full(face.said, room, face.scale, face.order)
    return set_sections(face.said, room, face.scale, face.dot, face.order)


def _stamp(face: Face) -> tuple[tuple[Item, ...], Place]:
    """Return a black band across the label, framing it unless it is full, and the room left."""
    box = face.inside
    if Field.STAMP not in face.said:
        return (), box
    piece = _largest_stamp(face, box)
    band = replace(box, bottom=box.top + _band_height(face, piece))
    stamp: tuple[Item, ...] = (_filled(band), *centred(piece, band, inverse=True))
    below = replace(box, top=band.bottom)
    if face.scale.full:
        down = max(face.scale.gap_mm, _LEAST_BELOW_BAND_MM)
        return stamp, replace(below, top=below.top + down)
    frame, rest = _frame(below, _FRAME_DOTS * face.dot)
    return (*stamp, *frame), replace(rest, top=below.top + face.scale.gap_mm)


def _band_height(face: Face, piece: Piece) -> float:
    """Return the height of the stamp's line, or of its ink and some black around if room counts."""
    if not face.scale.full:
        return line_height(piece.style.size_pt, face.scale, piece.ascent, piece.descent)
    return piece.ink_mm + 2 * _BAND_AROUND_MM + face.scale.gap_mm


def _frame(box: Place, line: float) -> tuple[tuple[Rule, ...], Place]:
    """Return a line down both sides of a box and along its foot, and the room inside."""
    inset = line + _INSIDE_FRAME_MM
    sides = (replace(box, right=box.left + line), replace(box, left=box.right - line))
    foot = Place(box.left + line, box.bottom - line, box.right - line, box.bottom)
    rest = Place(box.left + inset, box.top, box.right - inset, box.bottom - inset)
    return tuple(map(_filled, (*sides, foot))), rest


def _largest_stamp(face: Face, box: Place) -> Piece:
    """Return the stamp's line as large as the label's width lets it be."""
    text, bold = face.said[Field.STAMP], weight(Field.STAMP)
    least = min(LEAST_STAMP_PT, face.scale.essential)
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


def _codes(face: Face, box: Place) -> tuple[BarRun | MatrixRun, ...]:
    """Return the jar's code in the bottom right corner, the lot's bars beside it; on whole dots."""
    dots, side = face.dots_per_inch, matrix_side_mm(face.jar, face.dots_per_inch)
    square = data_matrix(
        face.jar, _on_dot(face, box.right - side), _on_dot(face, box.bottom - side), dots
    )
    linear: tuple[BarRun, ...] = ()
    if face.linear:
        left = _on_dot(face, square.x_mm - code_width_mm(face.jar.lot, dots))
        height = sizes(face.stock).code_mm
        linear = (bars(face.jar.lot, left, box.bottom - height, height, dots),)
    codes: tuple[BarRun | MatrixRun, ...] = (*linear, square)
    if codes[0].x_mm < box.left or square.y_mm < box.top:
        raise Overfull(Field.CODE)
    return codes


def _pictures(face: Face, box: Place, before: float) -> tuple[Item, ...]:
    """Return the pictograms at the foot of the label, left of the codes."""
    left = before - row_width_mm(face.pictograms)
    pictures = row_of(face.pictograms, left, box.bottom)
    if any(not each.place.within(box) for each in pictures):
        raise Overfull(Field.PICTOGRAM)
    return pictures


def _on_dot(face: Face, at_mm: float) -> float:
    """Return the last whole dot up to there."""
    return int(at_mm / face.dot) * face.dot
