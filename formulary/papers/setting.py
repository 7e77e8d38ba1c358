"""Setting strips: paragraphs broken into lines of glyphs, with nothing cut and no sign missing."""

from __future__ import annotations

import unicodedata
from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import lru_cache

from formulary.errors import Refusal
from formulary.labels.flow import TooWide, Type, break_lines
from formulary.labels.metrics import require_printable, runs, width_mm
from formulary.labels.page import (
    ASCENT,
    DESCENT,
    MM_PER_POINT,
    Direction,
    Field,
    GlyphRun,
    Item,
    Page,
    Rule,
    moved,
)
from formulary.labels.script import direction_of
from formulary.messages import message
from formulary.papers.blocks import Align, Cell, Strip, Text

LEADING = 1.25
PADDING_MM = 1.2
HAIRLINE_MM = 0.2
_RULE_MM = 0.4
_BELOW_RULE_MM = 1.0
_EXCERPT = 40
_SHORT_MM = 60.0


@dataclass(frozen=True, slots=True)
class SetLine:
    """One line of a cell: its height, and what it shows from the cell's left and its own top."""

    height_mm: float
    items: tuple[Item, ...]


@dataclass(frozen=True, slots=True)
class SetCell:
    """A cell's lines, its place across the strip, and whether it is framed."""

    left_mm: float
    width_mm: float
    lines: tuple[SetLine, ...]
    framed: bool

    @property
    def height_mm(self) -> float:
        """Its lines, with room to its frame."""
        around = 2 * PADDING_MM if self.framed else 0.0
        return sum(each.height_mm for each in self.lines) + around


@dataclass(frozen=True, slots=True)
class SetStrip:
    """A strip that knows its height."""

    cells: tuple[SetCell, ...]
    least_mm: float
    above_mm: float
    ruled: bool

    @property
    def height_mm(self) -> float:
        """All of it, with the room above."""
        return self._head_mm + max([self.least_mm, *(each.height_mm for each in self.cells)])

    @property
    def stays_whole(self) -> bool:
        """Whether it goes to the next page rather than being split: boxes do, and short texts."""
        return any(each.framed for each in self.cells) or self.height_mm <= _SHORT_MM

    @property
    def _head_mm(self) -> float:
        return self.above_mm + (_BELOW_RULE_MM if self.ruled else 0.0)

    def placed(self, left: float, top: float) -> Iterator[Item]:
        """Yield what is drawn of it, from there on."""
        if self.ruled:
            width = max(each.left_mm + each.width_mm for each in self.cells)
            yield Rule(left, top + self.above_mm - _RULE_MM, width, _RULE_MM)
        box_top = top + self._head_mm
        for cell in self.cells:
            if cell.framed:
                yield from _frame(left + cell.left_mm, box_top, cell.width_mm, self._box_mm)
            yield from _lines(cell, left, box_top)

    @property
    def _box_mm(self) -> float:
        return self.height_mm - self._head_mm

    def split(self, room_mm: float) -> tuple[SetStrip | None, SetStrip]:
        """Return what fits into so much room, nothing if no line does, and the rest."""
        parts = [_split(each, room_mm - self._head_mm) for each in self.cells]
        if not any(first.lines for first, _ in parts):
            return None, self
        first = replace(self, cells=tuple(one for one, _ in parts), least_mm=0.0)
        rest = tuple(other for _, other in parts)
        return first, SetStrip(rest, 0.0, 0.0, ruled=False)


def _split(cell: SetCell, room_mm: float) -> tuple[SetCell, SetCell]:
    left, count = room_mm - (2 * PADDING_MM if cell.framed else 0.0), 0
    for each in cell.lines:
        if each.height_mm > left:
            break
        left -= each.height_mm
        count += 1
    return replace(cell, lines=cell.lines[:count]), replace(cell, lines=cell.lines[count:])


def _frame(left: float, top: float, width: float, height: float) -> Iterator[Rule]:
    for at in (top, top + height - HAIRLINE_MM):
        yield Rule(left, at, width, HAIRLINE_MM)
    for at in (left, left + width - HAIRLINE_MM):
        yield Rule(at, top, HAIRLINE_MM, height)


def _lines(cell: SetCell, left: float, top: float) -> Iterator[Item]:
    padding = PADDING_MM if cell.framed else 0.0
    at = top + padding
    for each in cell.lines:
        for item in each.items:
            yield moved(item, left + cell.left_mm + padding, at)
        at += each.height_mm


def set_strip(strip: Strip) -> SetStrip:
    """Set a strip. Raises :class:`formulary.errors.Refusal` for a sign that no font has."""
    cells, left = [], 0.0
    for cell in strip.cells:
        cells.append(SetCell(left, cell.width_mm, _set(cell), cell.framed))
        left += cell.width_mm
    return SetStrip(tuple(cells), strip.least_mm, strip.above_mm, strip.ruled)


def _set(cell: Cell) -> tuple[SetLine, ...]:
    room = cell.width_mm - (2 if cell.framed else 1) * PADDING_MM
    lines = (each for text in cell.texts for each in _set_text(text, room))
    return (*lines, *map(_drawn, cell.drawn))


def _drawn(label: Page) -> SetLine:
    """Return a label in a hairline, with a little room around it."""
    frame = _frame(0, 0, label.width_mm, label.height_mm)
    items = (moved(each, 0, PADDING_MM) for each in (*label.items, *frame))
    return SetLine(label.height_mm + 2 * PADDING_MM, tuple(items))


@lru_cache(maxsize=2048)
def _set_text(text: Text, room: float) -> tuple[SetLine, ...]:
    """Return a paragraph in lines; what was typed on several lines stays on several."""
    style = Type(text.size_pt, text.weight)
    typed = unicodedata.normalize("NFC", text.text).splitlines()
    plain = (each.replace("\t", " ") for each in typed)
    return tuple(
        _set_line(each, text, room)
        for paragraph in plain
        for each in _broken(_printable(paragraph), room, style)
    )


def _printable(text: str) -> str:
    """Return the text. Refuses one with a sign that couldn't be shown rightly."""
    try:
        require_printable(text, Field.NONE)
    except Refusal as refusal:
        excerpt = text if len(text) <= _EXCERPT else f"{text[:_EXCERPT]} ..."
        raise Refusal(
            message("papers.not_printable", why=refusal.message, text=excerpt)
        ) from refusal
    return text


def _broken(text: str, room: float, style: Type) -> list[str]:
    try:
        return break_lines(text, lambda _: room, style)
    except TooWide:
        return break_lines(_narrow(text, room, style), lambda _: room, style)


def _narrow(text: str, room: float, style: Type) -> str:
    """Return the text with every word parted that is wider than a line, each part a full line."""
    return " ".join(part for word in text.split(" ") for part in _parts(word, room, style))


def _parts(word: str, room: float, style: Type) -> Iterator[str]:
    part = ""
    for character in word:
        if part and width_mm(part + character, style.weight, style.size_pt) > room:
            yield part
            part = ""
        part += character
    yield part


def _begins_right(text: Text) -> bool:
    """Tell whether lines end at the right edge, as those of a text read from there do."""
    return text.align is Align.RIGHT or direction_of(text.text) is Direction.RIGHT_TO_LEFT


def _set_line(line: str, text: Text, room: float) -> SetLine:
    placed = runs(line, text.weight, text.size_pt)
    em = text.size_pt * MM_PER_POINT
    ascent = max([ASCENT, *(run.ascent for run in placed)])
    descent = max([DESCENT, *(run.descent for run in placed)])
    height = em * max(LEADING, ascent + descent)
    left = room - sum(run.width_mm for run in placed) if _begins_right(text) else 0.0
    glyphs = []
    for run in placed:
        glyphs.append(
            GlyphRun(
                left,
                (height + (ascent - descent) * em) / 2,
                run.text,
                run.font,
                text.size_pt,
                run.width_mm,
                Field.NONE,
                run.direction,
                ascent=run.ascent,
                descent=run.descent,
            )
        )
        left += run.width_mm
    return SetLine(height, tuple(glyphs))
