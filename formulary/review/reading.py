"""Figures read out of what people wrote: strengths in a name, a range of pH in a test's limits."""

from __future__ import annotations

import re
from fractions import Fraction

from formulary.errors import BadText
from formulary.quantity.amount import Amount, Concentration
from formulary.quantity.parsing import parse_amount
from formulary.quantity.typed_number import plain_spaces

_NUMBER = r"\d+(?:[.,]\d+)?"
_PERCENT = re.compile(rf"({_NUMBER})\s*%")
# Thousands are parted by a space; "1,250" may be either, so it is no figure here.
_FIGURE = r"(?<![\d.,])(?:\d{1,3}(?: \d{3})+|\d+\.\d+|0,\d+|\d+,(?!\d{3}(?!\d))\d+|\d+)(?![.,]?\d)"
_UNIT = (
    r"(?:micrograms?|milligrams?|grams?|kg|mg|mcg|[\N{MICRO SIGN}\N{GREEK SMALL LETTER MU}u]g|g|"
    r"international units?|units?|IU|I\.U\.)(?!\w)"
)
_MASS = re.compile(rf"{_FIGURE} ?{_UNIT}")
_STRENGTH = re.compile(
    rf"(?P<part>{_FIGURE} ?{_UNIT}) ?(?:/|in|per|pro|je) ?(?P<count>{_FIGURE})? ?"
    r"(?P<whole>kg|g|m[lL]|[lL])(?!\w)"
)
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


def strengths(text: str) -> tuple[Concentration, ...]:
    """Return every mass or activity in a mass or volume that a text names, such as 5 mg in 1 mL."""
    found = []
    for match in _STRENGTH.finditer(plain_spaces(text)):
        part, whole = _amount(match["part"]), _amount(f"{match['count'] or 1} {match['whole']}")
        if part is not None and whole is not None and whole.number:
            found.append(Concentration(part.number / whole.number, f"{part.unit}/{whole.unit}"))
    return tuple(found)


def masses(text: str) -> tuple[Amount, ...]:
    """Return every mass or activity that a text names by itself, in no mass or volume."""
    alone = _STRENGTH.sub(" ", plain_spaces(text))
    found = (_amount(match[0]) for match in _MASS.finditer(alone))
    return tuple(each for each in found if each is not None)


def _amount(text: str) -> Amount | None:
    """Return an amount, or None for what may be read in two ways or not at all."""
    try:
        return parse_amount(text.replace(",", "."), ".")
    except BadText:
        return None


def _number(text: str) -> Fraction:
    return Fraction(text.replace(",", "."))
