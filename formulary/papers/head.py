"""The head of every page: house, formula, version, lot with its code, and its number."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace

from formulary.errors import Refusal
from formulary.labels.barcode import bars, code_width_mm
from formulary.labels.metrics import Weight
from formulary.labels.page import GlyphRun, Item, Rule
from formulary.messages import message
from formulary.papers.blocks import BODY, FULL_MM, Align, Cell, Strip, Text, bold, small
from formulary.papers.paging import BOTTOM_MM, LEFT_MM, TOP_MM, Head
from formulary.papers.setting import SetStrip, set_strip

CODE_GRID = 150
"""Bars on whole dots of this many to the inch, two to a module: that is on whole dots of office
printers with 300, 600 or 1,200, and wide enough for a scanner held over the bench."""

_CODE_MM, _BELOW_CODE_MM = 11.0, 1.0
_BAND_MM, _BELOW_BAND_MM = 7.5, 2.0
_RIGHT_MM, _APART_MM = 48.0, 4.0
_RULE_MM, _AROUND_RULE_MM = 0.6, 2.0
_HIGHEST_MM = 75.0
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
    """Return the head. Refuses a title that would leave too little of the page."""
    width = max(_RIGHT_MM, code_width_mm(texts.lot, CODE_GRID) if texts.lot else 0.0)
    left = _left(texts, FULL_MM - width - _APART_MM)
    band = _BAND_MM + _BELOW_BAND_MM if texts.stamp else 0.0
    code = _CODE_MM + _BELOW_CODE_MM if texts.lot else 0.0
    body = max(left.height_mm, code + _right(texts, width, 1, 1).height_mm)
    height = band + body + 2 * _AROUND_RULE_MM
    if height > _HIGHEST_MM:
        raise Refusal(message("papers.title_too_long"))
    top = TOP_MM + band

    def drawn(number: int, total: int) -> tuple[Item, ...]:
        edge = LEFT_MM + FULL_MM - width
        right = _right(texts, width, number, total).placed(edge, top + code)
        said = (*left.placed(LEFT_MM, top), *right, *_foot(texts))
        return (*_band(texts), *_code(texts, top), *said, rule)

    rule = Rule(LEFT_MM, top + body + _AROUND_RULE_MM, FULL_MM, _RULE_MM)
    return Head(height, drawn)


def _left(texts: HeadTexts, width: float) -> SetStrip:
    said = (small(texts.maker), bold(texts.title, _TITLE_PT), Text(texts.version))
    return set_strip(Strip((Cell(width, said),)))


def _right(texts: HeadTexts, width: float, number: int, total: int) -> SetStrip:
    lot = Text(texts.lot_said, _TITLE_PT, Weight.BOLD, Align.RIGHT)
    page = Text(texts.page(number, total), BODY, align=Align.RIGHT)
    return set_strip(Strip((Cell(width, (lot, page)),)))


def _code(texts: HeadTexts, top: float) -> Iterator[Item]:
    if texts.lot:
        edge = LEFT_MM + FULL_MM - code_width_mm(texts.lot, CODE_GRID)
        yield bars(texts.lot, edge, top, _CODE_MM, CODE_GRID)


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
