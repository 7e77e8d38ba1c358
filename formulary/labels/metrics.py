"""The label fonts: what they can show and how wide it is. Layout and drawing both ask here.

A character that a font lacks would vanish from the PDF without a word, so every text is held
against the fonts' own tables first.
"""

from __future__ import annotations

import unicodedata
from dataclasses import dataclass, replace
from enum import StrEnum
from functools import cache, lru_cache
from struct import unpack
from typing import TYPE_CHECKING

from formulary.errors import BadText, Refusal
from formulary.labels.page import ASCENT, DESCENT, MM_PER_POINT, Direction, Field
from formulary.labels.script import as_drawn, direction_of
from formulary.messages import Message, message
from formulary.resources import resource_path

if TYPE_CHECKING:
    from reportlab.pdfbase.ttfonts import TTFontFile


class Weight(StrEnum):
    """The two weights that labels use."""

    REGULAR = "regular"
    BOLD = "bold"


# The first font that has the character is taken.
FONTS = {
    Weight.REGULAR: ("DejaVuSansCondensed", "DejaVuSans"),
    Weight.BOLD: ("DejaVuSansCondensed-Bold", "DejaVuSans-Bold"),
}

SOFT_HYPHEN = "\N{SOFT HYPHEN}"

# No text counts as less high than the highest figure, nor as less deep than the deepest, so that
# another number takes the same room.
_OF_FIGURES = (0.745, 0.02)


@dataclass(frozen=True, slots=True)
class Run:
    """A piece of a line in one font, and its width in millimetres at the size asked for.

    ``ascent`` and ``descent`` are how far its ink stands above and below the baseline, in parts
    of the type size; ``direction`` is the way in which the whole line is read.
    """

    text: str
    font: str
    width_mm: float
    direction: Direction = Direction.LEFT_TO_RIGHT
    ascent: float = ASCENT
    descent: float = DESCENT


@cache
def widths(font: str) -> dict[int, float]:
    """Return the width of each character the font has, in parts of the type size.

    The font is registered for drawing at the same time.
    """
    face = _face(font)
    return {code: face.charWidths[code] / 1000 for code in face.charToGlyph}


@cache
def _face(font: str) -> TTFontFile:
    from reportlab.pdfbase import pdfmetrics
    from reportlab.pdfbase.ttfonts import TTFont

    loaded = TTFont(font, str(resource_path("fonts", f"{font}.ttf")))
    pdfmetrics.registerFont(loaded)
    return loaded.face


@lru_cache(maxsize=4096)
def _ink(character: str, font: str) -> tuple[float, float]:
    """Return how far a character's ink stands above and below the baseline, in ems."""
    face = _face(font)
    glyph = face.charToGlyph[ord(character)]
    start, end = face.glyphPos[glyph : glyph + 2]
    if start == end:
        return 0.0, 0.0
    # The head of a glyph's outline: its number of contours, then its box.
    outline = face.get_chunk(face.get_table_pos("glyf")[0] + start, 10)
    _, _, lowest, _, highest = unpack(">5h", outline)
    return highest / face.unitsPerEm, -lowest / face.unitsPerEm


@lru_cache(maxsize=65536)
def width_em(text: str, weight: Weight) -> float:
    """Return how wide a text is in parts of the type size; its characters are in the fonts."""
    return sum(run.width_mm for run in _runs_in_ems(text, weight))


def width_mm(text: str, weight: Weight, size_pt: float) -> float:
    """Return how wide a text of the label is; its characters are known to be in the fonts."""
    return width_em(text, weight) * size_pt * MM_PER_POINT


@lru_cache(maxsize=16384)
def runs(text: str, weight: Weight, size_pt: float) -> tuple[Run, ...]:
    """Return the text in runs of one font each, in the order in which they stand on the line."""
    em = size_pt * MM_PER_POINT
    return tuple(replace(run, width_mm=run.width_mm * em) for run in _runs_in_ems(text, weight))


@lru_cache(maxsize=16384)
def _runs_in_ems(text: str, weight: Weight) -> tuple[Run, ...]:
    """Return the runs, as wide as they are where an em is a millimetre."""
    reads, text = direction_of(text), as_drawn(text)
    first = widths(FONTS[weight][0])
    if all(ord(character) in first for character in text):
        return (_run(text, FONTS[weight][0], reads),)
    return tuple(_run(piece, font, reads) for piece, font in _pieces(text, weight))


def _run(text: str, font: str, reads: Direction) -> Run:
    table = widths(font)
    em = sum(table[ord(character)] for character in text)
    above, below = zip(_OF_FIGURES, *(_ink(character, font) for character in text), strict=True)
    return Run(text, font, em, reads, ascent=max(above), descent=max(below))


def _pieces(text: str, weight: Weight) -> list[tuple[str, str]]:
    pieces: list[tuple[str, str]] = []
    for character in text:
        font = _font_with(character, weight)
        if pieces and pieces[-1][1] == font:
            pieces[-1] = (pieces[-1][0] + character, font)
        else:
            pieces.append((character, font))
    return pieces


def _font_with(character: str, weight: Weight) -> str:
    for font in FONTS[weight]:
        if ord(character) in widths(font):
            return font
    raise Refusal(_missing(character, Field.NONE))


@lru_cache(maxsize=4096)
def require_printable(text: str, field: Field) -> None:
    """Raise a Refusal that names the first character which the label couldn't show rightly."""
    for character in text:
        if character != SOFT_HYPHEN and _needs_shaping(character):
            raise BadText(_about("label.script_not_set", character, field), field=field)
    for character in as_drawn(text):
        if not _in_all_weights(character):
            raise BadText(_missing(character, field), field=field)


def _needs_shaping(character: str) -> bool:
    """Tell whether glyphs placed one after another would be wrong for this character.

    So are marks that sit on another letter and invisible controls; a letter with its accent as
    one character is fine.
    """
    return unicodedata.category(character) in {"Mn", "Mc", "Me", "Cf", "Cc"}


def _in_all_weights(character: str) -> bool:
    return all(any(ord(character) in widths(font) for font in chain) for chain in FONTS.values())


def _missing(character: str, field: Field) -> Message:
    return _about("label.no_glyph", character, field)


def _about(key: str, character: str, field: Field) -> Message:
    return message(
        key,
        character=character,
        code_point=f"U+{ord(character):04X}",
        called=unicodedata.name(character, "a control or unassigned character").lower(),
        field=message(f"label.field.{field}"),
    )
