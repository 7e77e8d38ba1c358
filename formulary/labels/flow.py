"""Breaking a text into lines without cutting a word or parting a number from its unit."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass

from formulary.labels.metrics import SOFT_HYPHEN, Weight, width_mm

# Between two words of three letters and more, so never in mg/mL or in 2-3; a soft hyphen anywhere.
_BREAKS = re.compile(rf"(?<=[^\W\d_]{{3}}[-/])(?=[^\W\d_]{{3}})|(?<={SOFT_HYPHEN})")
_FIGURE = re.compile(r"[0-9]")


class TooWide(Exception):
    """One unbreakable piece is wider than the line."""


@dataclass(frozen=True, slots=True)
class Type:
    """Size and weight of a text."""

    size_pt: float
    weight: Weight = Weight.REGULAR


def break_lines(text: str, width: Callable[[int], float], style: Type) -> list[str]:
    """Return the text in lines, line ``n`` (from 0) at most ``width(n)`` mm wide.

    Raises TooWide if an unbreakable piece is wider than its line.
    """
    lines: list[str] = []
    current, taken = "", 0.0
    for joiner, piece in _fragments(text):
        # Letters join within words only, so pieces beside each other are as wide as each alone.
        own, end = _width(piece, style), _hyphen(piece, style)
        before = taken + _width(joiner, style) if current else 0.0
        if current and before + own + end > width(len(lines)):
            lines.append(_shown(current))
            current, before = "", 0.0
        if before + own + end > width(len(lines)):
            raise TooWide
        current, taken = current + joiner + piece if current else piece, before + own
    return [*lines, _shown(current)] if current else lines


def _fragments(text: str) -> Iterator[tuple[str, str]]:
    """Yield unbreakable pieces, each with what joins it to the one before on the same line."""
    for word in text.split(" "):
        pieces = [word] if _FIGURE.search(word) else _BREAKS.split(word)
        for number, piece in enumerate(pieces):
            yield ("" if number else " "), piece


def _width(piece: str, style: Type) -> float:
    return width_mm(piece.replace(SOFT_HYPHEN, ""), style.weight, style.size_pt)


def _hyphen(piece: str, style: Type) -> float:
    """Return the width of the hyphen that a piece is given at the end of a line."""
    return width_mm("-", style.weight, style.size_pt) if piece.endswith(SOFT_HYPHEN) else 0.0


def _shown(line: str) -> str:
    """Return the line as it is drawn: a soft hyphen shows only at the end of a line."""
    hyphenated = line.removesuffix(SOFT_HYPHEN) + "-" if line.endswith(SOFT_HYPHEN) else line
    return hyphenated.replace(SOFT_HYPHEN, "")
