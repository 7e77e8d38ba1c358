"""Setting rows of fields into a box of the label, line by line."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
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
class SetRows:
    """Lines set one under another from the top of their box, and where the last one ends."""

    items: tuple[GlyphRun, ...]
    bottom: float


def set_rows(rows: Iterable[Row], said: Mapping[Field, str], box: Place, scale: Scale) -> SetRows:
    """Set rows of fields from the top of the box.

    Raises Overfull, naming the field, if a piece is wider or a line lower than the box.
    """
    items: list[GlyphRun] = []
    top = box.top
    for row in rows:
        for line in _lines(row, said, box, scale):
            bottom = top + line_height(line[0].style.size_pt, scale)
            if bottom > box.bottom + _TOLERANCE:
                raise Overfull(line[0].field)
            items += _set_line(line, replace(box, top=top, bottom=bottom))
            top = bottom
    return SetRows(tuple(items), top)


_TOLERANCE = 1e-6


def line_height(size_pt: float, scale: Scale) -> float:
    """Return the height of one line in mm."""
    return size_pt * scale.leading * MM_PER_POINT


def centred(piece: Piece, box: Place, *, inverse: bool) -> tuple[GlyphRun, ...]:
    """Set one line in the middle of its box."""
    left = box.left + (box.right - box.left - piece.width) / 2
    return tuple(replace(run, inverse=inverse) for run in _set_piece(piece, left, box))


def _lines(
    row: Row, said: Mapping[Field, str], box: Place, scale: Scale
) -> Iterable[tuple[Piece, ...]]:
    """Return the row's fields in lines: side by side while they fit, else one under another."""
    width = box.right - box.left
    waiting: tuple[Piece, ...] = ()
    for piece in (_piece(field, said[field], scale) for field in row if field in said):
        if waiting and not _fit((*waiting, piece), width):
            yield waiting
            waiting = ()
        if piece.width > width:
            yield from _broken(piece, width)
        else:
            waiting = (*waiting, piece)
    if waiting:
        yield waiting


def _piece(field: Field, text: str, scale: Scale) -> Piece:
    return Piece(field, text, Type(scale.size(field), weight(field)))


def _fit(pieces: Sequence[Piece], width: float) -> bool:
    apart = _APART * pieces[0].style.size_pt * MM_PER_POINT * (len(pieces) - 1)
    return sum(piece.width for piece in pieces) + apart <= width


def _broken(piece: Piece, width: float) -> Iterable[tuple[Piece, ...]]:
    try:
        lines = break_lines(piece.text, width, piece.style)
    except TooWide as trouble:
        raise Overfull(piece.field) from trouble
    return [(replace(piece, text=line),) for line in lines]


def _set_line(line: Sequence[Piece], box: Place) -> list[GlyphRun]:
    """Set pieces across the box: the first at its left, the last at its right edge."""
    spare = box.right - box.left - sum(piece.width for piece in line)
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
