"""Setting rows of fields into a box of the label, line by line."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from formulary.labels.flow import TooWide, Type, break_lines
from formulary.labels.metrics import Run, runs, width_mm
from formulary.labels.page import ASCENT, DESCENT, MM_PER_POINT, Field, GlyphRun, Place
from formulary.labels.plan import Scale, weight

Row = Sequence[Field]

# Two fields on one line stay this many ems apart.
_APART = 1.2


class Overfull(Exception):
    """Something has no room; ``field`` is the first that hasn't."""

    def __init__(self, field: Field) -> None:
        super().__init__(field)
        self.field = field


@dataclass(frozen=True, slots=True)
class Piece:
    """A text on one line."""

    field: Field
    text: str
    style: Type

    @property
    def width(self) -> float:
        """Its width in mm."""
        return width_mm(self.text, self.style.weight, self.style.size_pt)


@dataclass(frozen=True, slots=True)
class Room:
    """A box for lines, less what something else takes up in its bottom right corner."""

    box: Place
    corner: Place | None = None

    def below(self, top: float) -> Room:
        """Return what is left of the room from there down."""
        return replace(self, box=replace(self.box, top=top))

    def right_of_line(self, bottom: float) -> float:
        """Return the right edge of a line that ends at this height."""
        if self.corner is None or bottom <= self.corner.top + _TOLERANCE:
            return self.box.right
        return self.corner.left


@dataclass(frozen=True, slots=True)
class SetRows:
    """Lines set one under another from the top of their room, and where the last one ends."""

    items: tuple[GlyphRun, ...]
    bottom: float


def set_rows(rows: Iterable[Row], said: Mapping[Field, str], room: Room, scale: Scale) -> SetRows:
    """Set rows of fields from the top of the room.

    Raises Overfull, naming the field, if a piece is wider or a line lower than the room.
    """
    items: list[GlyphRun] = []
    top = room.box.top
    for row in rows:
        pieces = [_piece(field, said[field], scale) for field in row if field in said]
        if pieces:
            done = _set_row(pieces, room.below(top), scale)
            items += done.items
            top = done.bottom
    return SetRows(tuple(items), top)


_TOLERANCE = 1e-6


def _set_row(pieces: Sequence[Piece], room: Room, scale: Scale) -> SetRows:
    """Set the pieces of one row, which are all of one size."""
    height = line_height(pieces[0].style.size_pt, scale)
    box = room.box

    def line_box(number: int) -> Place:
        top = box.top + number * height
        bottom = top + height
        return Place(box.left, top, room.right_of_line(bottom), bottom)

    lines = _lines(pieces, line_box)
    items: list[GlyphRun] = []
    for number, line in enumerate(lines):
        place = line_box(number)
        if place.bottom > box.bottom + _TOLERANCE:
            raise Overfull(line[0].field)
        items += _set_line(line, place)
    return SetRows(tuple(items), box.top + len(lines) * height)


def line_height(size_pt: float, scale: Scale) -> float:
    """Return the height of one line in mm."""
    return size_pt * scale.leading * MM_PER_POINT


def centred(piece: Piece, box: Place, *, inverse: bool) -> tuple[GlyphRun, ...]:
    """Set one line in the middle of its box."""
    left = box.left + (box.width - piece.width) / 2
    return tuple(replace(run, inverse=inverse) for run in _set_piece(piece, left, box))


def _lines(pieces: Iterable[Piece], line_box: Callable[[int], Place]) -> list[tuple[Piece, ...]]:
    """Return the pieces in lines: side by side while they fit, else one under another."""
    lines: list[tuple[Piece, ...]] = []
    waiting: tuple[Piece, ...] = ()
    for piece in pieces:
        if waiting and not _fit((*waiting, piece), line_box(len(lines)).width):
            lines.append(waiting)
            waiting = ()
        if waiting or _fit((piece,), line_box(len(lines)).width):
            waiting = (*waiting, piece)
        else:
            lines += _broken(piece, line_box, len(lines))
    return [*lines, waiting] if waiting else lines


def _piece(field: Field, text: str, scale: Scale) -> Piece:
    return Piece(field, text, Type(scale.size(field), weight(field)))


def _fit(pieces: Sequence[Piece], width: float) -> bool:
    apart = _APART * pieces[0].style.size_pt * MM_PER_POINT * (len(pieces) - 1)
    return sum(piece.width for piece in pieces) + apart <= width


def _broken(piece: Piece, line_box: Callable[[int], Place], first: int) -> list[tuple[Piece, ...]]:
    try:
        lines = break_lines(piece.text, lambda n: line_box(first + n).width, piece.style)
    except TooWide as trouble:
        raise Overfull(piece.field) from trouble
    return [(replace(piece, text=line),) for line in lines]


def _set_line(line: Sequence[Piece], box: Place) -> list[GlyphRun]:
    """Set pieces across the box: the first at its left, the last at its right edge."""
    spare = box.width - sum(piece.width for piece in line)
    between = spare / (len(line) - 1) if len(line) > 1 else 0.0
    items: list[GlyphRun] = []
    left = box.left
    for piece in line:
        items += _set_piece(piece, left, box)
        left += piece.width + between
    return items


def _set_piece(piece: Piece, left: float, box: Place) -> list[GlyphRun]:
    em = piece.style.size_pt * MM_PER_POINT
    baseline = (box.top + box.bottom + (ASCENT - DESCENT) * em) / 2
    placed: list[GlyphRun] = []
    for run in runs(piece.text, piece.style.weight, piece.style.size_pt):
        placed.append(_glyphs(run, left, baseline, piece))
        left += run.width_mm
    return placed


def _glyphs(run: Run, left: float, baseline: float, piece: Piece) -> GlyphRun:
    return GlyphRun(
        left,
        baseline,
        run.text,
        run.font,
        piece.style.size_pt,
        run.width_mm,
        piece.field,
        run.direction,
    )
