"""Setting rows of fields into a box of the label, line by line."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from formulary.labels.flow import TooWide, Type, break_lines
from formulary.labels.metrics import Run, runs, width_mm
from formulary.labels.page import ASCENT, DESCENT, MM_PER_POINT, Direction, Field, GlyphRun, Place
from formulary.labels.plan import Row, Scale, weight
from formulary.labels.script import direction_of

# Two fields on one line stay this many ems apart.
_APART = 0.8
_TOLERANCE = 1e-6


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

    @property
    def ascent(self) -> float:
        """The room it needs above its baseline, in parts of the type size."""
        return max(ASCENT, *(run.ascent for run in self.runs))

    @property
    def descent(self) -> float:
        """The room it needs below its baseline, in parts of the type size."""
        return max(DESCENT, *(run.descent for run in self.runs))

    @property
    def ink_mm(self) -> float:
        """From its highest to its lowest ink."""
        em = self.style.size_pt * MM_PER_POINT
        return em * (max(r.ascent for r in self.runs) + max(r.descent for r in self.runs))

    @property
    def runs(self) -> tuple[Run, ...]:
        """Its glyphs in runs of one font each."""
        return runs(self.text, self.style.weight, self.style.size_pt)


@dataclass(frozen=True, slots=True)
class Room:
    """A box for lines, less what something else takes up in its bottom right corner.

    Lines in it begin ``from_right`` where the whole label is read so, whatever letters they have.
    """

    box: Place
    corner: Place | None = None
    from_right: bool = False

    def below(self, top: float) -> Room:
        """Return what is left of the room from there down."""
        return replace(self, box=replace(self.box, top=top))

    def right_of_line(self, bottom: float) -> float:
        """Return the right edge of a line that ends at this height."""
        if self.corner is None or bottom <= self.corner.top + _TOLERANCE:
            return self.box.right
        return self.corner.left


@dataclass(frozen=True, slots=True)
class Lines:
    """The lines that a room is ruled into, all of one height.

    The largest type on them, ``size_pt``, with the highest ``ascent`` and the deepest ``descent``
    say where their baselines are.
    """

    room: Room
    height: float
    size_pt: float
    ascent: float
    descent: float

    def place(self, number: int) -> Place:
        """Return the box of one line, counted from 0, even if it lies below the room."""
        box = self.room.box
        top = box.top + number * self.height
        bottom = top + self.height
        return Place(box.left, top, self.room.right_of_line(bottom), bottom)

    def top(self, number: int) -> float:
        """Return where a line begins."""
        return self.room.box.top + number * self.height

    def place_of(self, piece: Piece, number: int) -> Place:
        """Return the box of the line that a piece stands on. Raises Overfull below the room."""
        place = self.place(number)
        if place.bottom > self.room.box.bottom + _TOLERANCE:
            raise Overfull(piece.field)
        return place

    def runs(self, piece: Piece, left: float, place: Place) -> list[GlyphRun]:
        """Set a piece on a line from there on."""
        em = self.size_pt * MM_PER_POINT
        baseline = (place.top + place.bottom + (self.ascent - self.descent) * em) / 2
        placed: list[GlyphRun] = []
        for run in piece.runs:
            placed.append(_glyphs(run, left, baseline, piece))
            left += run.width_mm
        return placed


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
        pieces = pieces_of(row, said, scale)
        if pieces:
            done = _set_row(pieces, room.below(top), scale)
            items += done.items
            top = done.bottom
    return SetRows(tuple(items), top)


def pieces_of(row: Row, said: Mapping[Field, str], scale: Scale) -> list[Piece]:
    """Return what the fields of a row say, as text in their type; silent ones left out."""
    return [
        Piece(field, said[field], Type(scale.size(field), weight(field)))
        for field in row
        if field in said
    ]


def ruled(pieces: Sequence[Piece], room: Room, scale: Scale) -> Lines:
    """Return lines high enough for the pieces' largest type and its accents."""
    size = max(p.style.size_pt for p in pieces)
    highest, deepest = max(p.ascent for p in pieces), max(p.descent for p in pieces)
    return Lines(room, line_height(size, scale, highest, deepest), size, highest, deepest)


def line_height(size_pt: float, scale: Scale, highest: float, deepest: float) -> float:
    """Return the height of one line in mm, no less than its ink's."""
    return size_pt * max(scale.leading, highest + deepest) * MM_PER_POINT


def centred(piece: Piece, box: Place, *, inverse: bool) -> tuple[GlyphRun, ...]:
    """Set one line with its ink in the middle of its box."""
    left = box.left + (box.width - piece.width) / 2
    line = Lines(Room(box), box.bottom - box.top, piece.style.size_pt, piece.ascent, piece.descent)
    placed = line.runs(piece, left, box)
    ink_top, ink_bottom = ink_of(placed)
    down = (box.top + box.bottom - ink_top - ink_bottom) / 2
    return tuple(replace(run, y_mm=run.y_mm + down, inverse=inverse) for run in placed)


def ink_of(placed: Iterable[GlyphRun]) -> tuple[float, float]:
    """Return the highest and the lowest ink of a line."""
    places = [run.place for run in placed]
    return min(place.top for place in places), max(place.bottom for place in places)


def broken(piece: Piece, width: Callable[[int], float]) -> list[Piece]:
    """Return a piece in lines, line ``n`` (from 0) at most ``width(n)`` mm wide.

    Raises Overfull if a word is wider than its line.
    """
    try:
        lines = break_lines(piece.text, width, piece.style)
    except TooWide as trouble:
        raise Overfull(piece.field) from trouble
    return [replace(piece, text=line) for line in lines]


def _set_row(pieces: Sequence[Piece], room: Room, scale: Scale) -> SetRows:
    lines = ruled(pieces, room, scale)
    shared = _shared(pieces, lines)
    items: list[GlyphRun] = []
    for number, line in enumerate(shared):
        items += _set_line(line, lines, lines.place_of(line[0], number))
    return SetRows(tuple(items), lines.top(len(shared)))


def _shared(pieces: Iterable[Piece], lines: Lines) -> list[tuple[Piece, ...]]:
    """Return the pieces in lines: side by side while they fit, else one under another."""
    shared: list[tuple[Piece, ...]] = []
    waiting: tuple[Piece, ...] = ()
    for piece in pieces:
        if waiting and not fit((*waiting, piece), lines.place(len(shared)).width):
            shared.append(waiting)
            waiting = ()
        if waiting or fit((piece,), lines.place(len(shared)).width):
            waiting = (*waiting, piece)
        else:
            shared += [(line,) for line in broken(piece, _widths(lines, len(shared)))]
    return [*shared, waiting] if waiting else shared


def _widths(lines: Lines, first: int) -> Callable[[int], float]:
    return lambda number: lines.place(first + number).width


def fit(pieces: Sequence[Piece], width: float) -> bool:
    """Tell whether the pieces have room side by side; none at all always have."""
    if not pieces:
        return True
    apart = _APART * pieces[0].style.size_pt * MM_PER_POINT * (len(pieces) - 1)
    return sum(piece.width for piece in pieces) + apart <= width


def _set_line(line: Sequence[Piece], lines: Lines, place: Place) -> list[GlyphRun]:
    """Set pieces across a line: the first where reading begins, the last at the other edge."""
    # What is said in a second language begins where that one does.
    in_own = line[0].field is not Field.BESIDE
    mirrored = turned(line[0]) or (lines.room.from_right and in_own)
    line = line[::-1] if mirrored and len(line) > 1 else line
    spare = place.width - sum(piece.width for piece in line)
    between = spare / (len(line) - 1) if len(line) > 1 else 0.0
    items: list[GlyphRun] = []
    left = place.left + (spare if len(line) == 1 and mirrored else 0)
    for piece in line:
        items += lines.runs(piece, left, place)
        left += piece.width + between
    return items


def turned(piece: Piece) -> bool:
    """Tell whether a piece is read from right to left."""
    return direction_of(piece.text) is Direction.RIGHT_TO_LEFT


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
        ascent=run.ascent,
        descent=run.descent,
    )
