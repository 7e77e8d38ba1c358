"""A lot number as Code 128, in bars that fall on whole dots of the printer."""

from __future__ import annotations

import math
import re
from functools import lru_cache
from itertools import groupby

from formulary.errors import BadText
from formulary.labels.page import BarRun, dot_mm
from formulary.messages import message

# A narrow bar below a quarter of a millimetre is lost to a thermal head's bleed, and one of a
# single dot doesn't decode (tried with 203 and 300 dots per inch).
NARROWEST_BAR_MM = 0.25
FEWEST_DOTS = 2
# ISO/IEC 15417: ten narrow bars stay blank on either side.
QUIET_MODULES = 10

_HAIR = 0.01
# Two and more pairs of digits at the end of a run of them take half the room in set C, and so does
# a pair alone. (The library's own coding begins with pairs and changes back for an odd last digit.)
_PIECES = re.compile(r"\A[0-9]{2}\Z|(?:[0-9]{2}){2,}(?![0-9])|.")
_CHECK_MODULUS = 103
_INTO = {"B": 100, "C": 99}
_LAST_BAR = "11"


def dots_per_module(dots_per_inch: int) -> int:
    """Return the width of the narrowest bar in dots: 2 at 203 per inch, 3 at 300."""
    dots = NARROWEST_BAR_MM / dot_mm(dots_per_inch)
    return max(FEWEST_DOTS, math.ceil(dots - _HAIR))


def code_width_mm(data: str, dots_per_inch: int) -> float:
    """Return the width of the code with its quiet zones."""
    modules = len(modules_of(data)) + 2 * QUIET_MODULES
    return modules * dots_per_module(dots_per_inch) * dot_mm(dots_per_inch)


@lru_cache(maxsize=4096)
def modules_of(data: str) -> str:
    """Return the code as 1 for a dark module and 0 for a light one, without quiet zones.

    Raises :class:`formulary.errors.BadText` for what Code 128 can't hold.
    """
    strange = sorted({character for character in data if not " " <= character <= "~"})
    if strange or not data:
        said = message("label.lot_not_codable", lot=data, characters=" ".join(strange))
        raise BadText(said, field="lot")
    from barcode.charsets import code128

    values = _values(data)
    check = values[0] + sum(place * value for place, value in enumerate(values))
    symbols = (code128.CODES[value] for value in (*values, check % _CHECK_MODULUS))
    return "".join(symbols) + str(code128.STOP) + _LAST_BAR


def _values(data: str) -> list[int]:
    """Return the start, each symbol and each change of set as Code 128 numbers them."""
    from barcode.charsets import code128

    values: list[int] = []
    current = ""
    for piece in _PIECES.findall(data):
        wanted = "C" if len(piece) > 1 else "B"
        if wanted != current:
            change = _INTO[wanted] if current else code128.START_CODES[wanted]
            values.append(change)
            current = wanted
        pairs = (piece[at : at + 2] for at in range(0, len(piece), 2))
        values += (int(pair) if wanted == "C" else code128.B[pair] for pair in pairs)
    return values


def bars(data: str, x_mm: float, y_mm: float, height_mm: float, dots_per_inch: int) -> BarRun:
    """Return the code with its quiet zone beginning at the whole dot at or after ``x_mm``."""
    dot = dot_mm(dots_per_inch)
    module = dots_per_module(dots_per_inch) * dot
    left = math.ceil(x_mm / dot - _HAIR) * dot
    start = left + QUIET_MODULES * module
    return BarRun(
        x_mm=left,
        y_mm=y_mm,
        width_mm=code_width_mm(data, dots_per_inch),
        height_mm=height_mm,
        bars=tuple((start + at * module, wide * module) for at, wide in _dark(modules_of(data))),
        data=data,
    )


@lru_cache(maxsize=4096)
def _dark(modules: str) -> tuple[tuple[int, int], ...]:
    """Return where each bar begins and how wide it is, in modules."""
    found, at = [], 0
    for value, run in groupby(modules):
        wide = sum(1 for _ in run)
        if value == "1":
            found.append((at, wide))
        at += wide
    return tuple(found)
