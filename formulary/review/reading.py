"""Figures read out of what people wrote: per cents in a name, a range of pH in a test's limits."""

from __future__ import annotations

import re
from fractions import Fraction

_NUMBER = r"\d+(?:[.,]\d+)?"
_PERCENT = re.compile(rf"({_NUMBER})\s*%")
_RANGE = re.compile(rf"^\s*({_NUMBER})\s*(?:(?:to|-|\N{{EN DASH}})\s*({_NUMBER}))?\s*$")


def percentages(text: str) -> tuple[Fraction, ...]:
    """Return every per cent that a text names, in order."""
    return tuple(_number(each) for each in _PERCENT.findall(text))


def ph_range(text: str) -> tuple[Fraction, Fraction] | None:
    """Return the two ends of "5 to 7.5"; None for anything else."""
    found = _RANGE.match(text)
    if found is None:
        return None
    lowest = _number(found[1])
    return lowest, _number(found[2]) if found[2] else lowest


def _number(text: str) -> Fraction:
    return Fraction(text.replace(",", "."))
