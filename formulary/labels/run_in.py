"""Setting fields as one paragraph, each running on where the one before it ended."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from formulary.labels.arrange import (
    Lines,
    Overfull,
    Piece,
    Room,
    SetRows,
    broken,
    pieces_of,
    ruled,
    turned,
)
from formulary.labels.page import MM_PER_POINT, Field, GlyphRun
from formulary.labels.plan import Row, Scale

# Wider than the space between two sentences of one field.
_APART = 0.8


def set_run_in(row: Row, said: Mapping[Field, str], room: Room, scale: Scale) -> SetRows:
    """Set the fields, all of one size, from the top of the room.

    Raises Overfull, naming the field, if a word is wider or a line lower than the room.
    """
    pieces = pieces_of(row, said, scale)
    if not pieces:
        return SetRows((), room.box.top)
    lines = ruled(pieces, room, scale)
    set_lines: dict[int, list[tuple[Piece, float]]] = {}
    number, left = 0, room.box.left
    for piece in pieces:
        number, left, parts = _run_on(piece, lines, number, left)
        for part in parts:
            place = lines.place_of(piece, number)
            set_lines.setdefault(number, []).append((part, left))
            number, end = number + 1, left + part.width
            left = place.left
        number, left = number - 1, end + _APART * piece.style.size_pt * MM_PER_POINT
    items = (run for at, line in set_lines.items() for run in _set_line(lines, at, line))
    return SetRows(tuple(items), lines.top(number + 1))


def _set_line(lines: Lines, number: int, line: Sequence[tuple[Piece, float]]) -> Iterator[GlyphRun]:
    """Set one line, turned round if its first piece is read from right to left."""
    place, mirrored = lines.place(number), turned(line[0][0])
    for piece, left in line:
        at = place.left + place.right - left - piece.width if mirrored else left
        yield from lines.runs(piece, at, place)


def _run_on(piece: Piece, lines: Lines, number: int, left: float) -> tuple[int, float, list[Piece]]:
    """Return the line and place where a piece begins, and its lines."""
    begun = left - lines.place(number).left

    def width(line: int) -> float:
        return lines.place(number + line).width - (0 if line else begun)

    try:
        return number, left, broken(piece, width)
    except Overfull:
        if not begun:
            raise
    return _run_on(piece, lines, number + 1, lines.place(number + 1).left)
