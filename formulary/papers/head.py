"""The head of every page: house, formula, version, lot with its code, and its number."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace

from formulary.errors import Refusal
from formulary.labels.barcode import bars, code_width_mm
from formulary.labels.metrics import Weight
from formulary.labels.page import Direction, GlyphRun, Item, Rule
from formulary.labels.script import direction_of
from formulary.messages import message
from formulary.papers.blocks import BODY, FULL_MM, Align, Cell, Strip, Text, bold, small
from formulary.papers.paging import BOTTOM_MM, LEFT_MM, TOP_MM, Head
from formulary.papers.setting import PADDING_MM, SetStrip, set_strip

CODE_GRID = 150
"""Bars on whole dots of this many to the inch, two to a module: that is on whole dots of office
printers with 300, 600 or 1,200, and wide enough for a scanner held over the bench."""

_CODE_MM, _BELOW_CODE_MM = 11.0, 1.0
_BAND_MM, _BELOW_BAND_MM = 7.5, 2.0
_RIGHT_MM, _APART_MM = 48.0, 4.0
_RULE_MM, _AROUND_RULE_MM = 0.6, 2.0
_HIGHEST_MM = 75.0
_SPARE_MM = PADDING_MM + 0.1
_TITLE_PT, _STAMP_PT = 15.0, 13.0


@dataclass(frozen=True, slots=True)
class HeadTexts:
    """What the head says: ``lot`` goes into the code, ``lot_said`` is read.

    ``page`` says which page it is of how many; ``foot`` stands at the page's lower edge.
    """

    maker: str
    title: str
    version: str
    lot: str
    lot_said: str
    page: Callable[[int, int], str]
    stamp: str = ""
    foot: str = ""


def head_of(texts: HeadTexts) -> Head:
    """Return the head, mirrored where its title is read from the right.

    Refuses a title that would leave too little of the page.
    """
    code_mm = code_width_mm(texts.lot, CODE_GRID) if texts.lot else 0.0
    width = max(_RIGHT_MM, code_mm, _width_of(_lot(texts, Align.LEFT)))
    mirrored = direction_of(texts.title) is Direction.RIGHT_TO_LEFT
    left = _left(texts, FULL_MM - width - _APART_MM, mirrored=mirrored)
    band = _BAND_MM + _BELOW_BAND_MM if texts.stamp else 0.0
    code = _CODE_MM + _BELOW_CODE_MM if texts.lot else 0.0
    align = Align.LEFT if mirrored else Align.RIGHT
    body = max(left.height_mm, code + _right(texts, width, (1, 1), align).height_mm)
    height = band + body + 2 * _AROUND_RULE_MM
    if height > _HIGHEST_MM:
        raise Refusal(message("papers.title_too_long"))
    top = TOP_MM + band

    def drawn(number: int, total: int) -> tuple[Item, ...]:
        edge = LEFT_MM if mirrored else LEFT_MM + FULL_MM - width
        begins = LEFT_MM + width + _APART_MM if mirrored else LEFT_MM
        right = _right(texts, width, (number, total), align).placed(edge, top + code)
        said = (*left.placed(begins, top), *right, *_foot(texts))
        bars_at = LEFT_MM if mirrored else LEFT_MM + FULL_MM - code_mm
        return (*_band(texts), *_code(texts, bars_at, top), *said, rule)

    rule = Rule(LEFT_MM, top + body + _AROUND_RULE_MM, FULL_MM, _RULE_MM)
    return Head(height, drawn)


def _left(texts: HeadTexts, width: float, *, mirrored: bool) -> SetStrip:
    align = Align.RIGHT if mirrored else Align.LEFT
    said = (small(texts.maker), bold(texts.title, _TITLE_PT), Text(texts.version))
    return set_strip(Strip((Cell(width, tuple(replace(each, align=align) for each in said)),)))


def _right(texts: HeadTexts, width: float, numbers: tuple[int, int], align: Align) -> SetStrip:
    page = Text(texts.page(*numbers), BODY, align=align)
    return set_strip(Strip((Cell(width, (_lot(texts, align), page)),)))


def _lot(texts: HeadTexts, align: Align) -> Text:
    return Text(texts.lot_said, _TITLE_PT, Weight.BOLD, align)


def _width_of(text: Text) -> float:
    """Return how wide a text is on one line, at most half the page."""
    strip = set_strip(Strip((Cell(FULL_MM / 2, (text,)),)))
    runs = [each for each in strip.placed(0.0, 0.0) if isinstance(each, GlyphRun)]
    ends = [each.x_mm + each.width_mm for each in runs]
    return max(ends) - min(each.x_mm for each in runs) + _SPARE_MM if runs else 0.0


def _code(texts: HeadTexts, left: float, top: float) -> Iterator[Item]:
    if texts.lot:
        yield bars(texts.lot, left, top, _CODE_MM, CODE_GRID)


def _foot(texts: HeadTexts) -> Iterator[Item]:
    strip = set_strip(Strip((Cell(FULL_MM, (Text(texts.foot, 8.0),)),)))
    return strip.placed(LEFT_MM, BOTTOM_MM + _APART_MM / 2)


def _band(texts: HeadTexts) -> Iterator[Item]:
    """Yield a black band across the page with the stamp in white."""
    if not texts.stamp:
        return
    yield Rule(LEFT_MM, TOP_MM, FULL_MM, _BAND_MM)
    strip = set_strip(Strip((Cell(FULL_MM, (bold(texts.stamp, _STAMP_PT),)),)))
    items = [each for each in strip.placed(LEFT_MM, TOP_MM) if isinstance(each, GlyphRun)]
    wide = sum(each.width_mm for each in items)
    left = min((each.x_mm for each in items), default=LEFT_MM)
    across = LEFT_MM + (FULL_MM - wide) / 2 - left
    down = (_BAND_MM - strip.height_mm) / 2
    for each in items:
        yield replace(each, x_mm=each.x_mm + across, y_mm=each.y_mm + down, inverse=True)
