"""Text in the order and shape in which its glyphs stand on a line, from left to right.

Letters that join are put in their joined forms, which the label fonts have; text written from
right to left is turned round, and what is written the other way inside it, such as a number with
its unit or a date, stays whole. That is what the Unicode bidirectional algorithm (UAX #9) gives
where every such piece stands between isolates.
"""

from __future__ import annotations

import re
import unicodedata
from functools import lru_cache

from formulary.labels.page import Direction

_TURNED = {"R", "AL"}
_DIGITS = {ord(each): str(unicodedata.decimal(each)) for each in "٠١٢٣٤٥٦٧٨٩۰۱۲۳۴۵۶۷۸۹"}
_MIRROR = str.maketrans("()[]{}<>«»", ")(][}{><»«")
# Hebrew, Arabic and their presentation forms, as ranges of code points.
_RTL = "\u0590-\u08ff\ufb1d-\ufdff\ufe70-\ufefc"
_RIGHT_TO_LEFT = re.compile(rf"[{_RTL}](?:[^0-9A-Za-z\u00c0-\u024f]*[{_RTL}])?")
# From a number or word to the last one with no bracket or letter of the other script between.
_LEFT_TO_RIGHT = re.compile(
    rf"[+\N{{MINUS SIGN}}-]?[0-9A-Za-z\u00c0-\u024f%](?:[^{_RTL}()\n]*[0-9A-Za-z\u00c0-\u024f%°])?"
)


def direction_of(text: str) -> Direction:
    """Return which way a text is read: that of its first letter."""
    for character in text:
        kind = unicodedata.bidirectional(character)
        if kind in _TURNED:
            return Direction.RIGHT_TO_LEFT
        if kind == "L":
            break
    return Direction.LEFT_TO_RIGHT


@lru_cache(maxsize=16384)
def as_drawn(text: str) -> str:
    """Return the glyphs of a line from left to right; digits are Western ones, never Arabic."""
    text = text.translate(_DIGITS)
    if not re.search(f"[{_RTL}]", text):
        return text
    if direction_of(text) is Direction.LEFT_TO_RIGHT:
        return _RIGHT_TO_LEFT.sub(lambda found: _turned(found[0]), text)
    pieces, at = [], 0
    for found in _LEFT_TO_RIGHT.finditer(text):
        pieces += [_turned(text[at : found.start()]), found[0]]
        at = found.end()
    return "".join(reversed([*pieces, _turned(text[at:])]))


def _turned(text: str) -> str:
    # Loaded with the first label in such a script.
    from arabic_reshaper import reshape

    joined: str = reshape(text)
    return joined[::-1].translate(_MIRROR)
