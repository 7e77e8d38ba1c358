"""Setting fields as one paragraph, each running on where the one before it ended."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby

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
from formulary.labels.page import MM_PER_POINT, Field, GlyphRun, Place
from formulary.labels.plan import Row, Scale

# Wider than the space between two sentences of one field.
_APART = 0.8


@dataclass(frozen=True, slots=True)
class _Part:
    """What of a field stands on one line, as if all were read from left to right.

    It is ``mirrored`` if the whole field is read from right to left.
    """

    piece: Piece
    left: float
    mirrored: bool

    @property
    def end(self) -> float:
        return self.left + self.piece.width


def set_run_in(row: Row, said: Mapping[Field, str], room: Room, scale: Scale) -> SetRows:
    """Set the fields, all of one size, from the top of the room.

    Raises Overfull, naming the field, if a word is wider or a line lower than the room.
    """
    pieces = pieces_of(row, said, scale)
    if not pieces:
        return SetRows((), room.box.top)
    lines = ruled(pieces, room, scale)
    set_lines: dict[int, list[_Part]] = {}
    number, left = 0, room.box.left
    for piece in pieces:
        number, left, parts = _run_on(piece, lines, number, left)
        for part in parts:
            place = lines.place_of(piece, number)
            set_lines.setdefault(number, []).append(_Part(part, left, mirrored=turned(piece)))
            number, end = number + 1, left + part.width
            left = place.left
        number, left = number - 1, end + _APART * piece.style.size_pt * MM_PER_POINT
    mirrored = turned(pieces[0])
    items = (
        run
        for at, line in set_lines.items()
        for run in _set_line(lines, lines.place(at), line, mirrored=mirrored)
    )
    return SetRows(tuple(items), lines.top(number + 1))


def _set_line(
    lines: Lines, place: Place, line: Sequence[_Part], *, mirrored: bool
) -> Iterator[GlyphRun]:
    """Set one line of a paragraph, which is read from right to left where it is mirrored.

    Neighbours read the other way stay one passage in their own order, as UAX #9 has it.
    """
    for turned_round, passage in groupby(line, lambda part: part.mirrored):
        parts = tuple(passage)
        start, end = parts[0].left, parts[-1].end
        begins = place.left + place.right - end if mirrored else start
        for part in parts:
            inside = end - part.end if turned_round else part.left - start
            yield from lines.runs(part.piece, begins + inside, place)


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
