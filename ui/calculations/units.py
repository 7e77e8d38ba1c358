"""The units that an input offers, and what a typed text says of its own."""

from __future__ import annotations

import re

from formulary.calculating.describing import Calculation, Input, Kind
from formulary.kept_calculation import KeptCalculation

_NO_UNIT = (Kind.NUMBER, Kind.COUNT)
_BARE_IN_FIRST = (Kind.STRENGTH, Kind.AREA)
_UNOFFERED = ("1 in",)
"""A ratio is typed whole: 1 in 1000 w/v."""
_BARE = re.compile(r"[-\N{MINUS SIGN}]?[\d.,/ \N{NO-BREAK SPACE}\N{NARROW NO-BREAK SPACE}]*\d")
_NUMBER = re.compile(rf"{_BARE.pattern} ?")
SEPARATOR = ";"
_DECIMALS = re.compile(r"(?<![A-Za-z0-9.,])(\d+)[.,](?=\d)")
"""A decimal sign within a number; formulas of substances have points of their own."""


def offered_units(described: Input) -> tuple[str, ...]:
    """Return the units to choose from, "" for a bare number where that is one of the ways."""
    units = tuple(each for each in described.usual_units if each not in _UNOFFERED)
    bare = any(kind in described.kinds for kind in _NO_UNIT)
    # Of these a bare number is read in the unit that is offered first.
    of_first = any(kind in described.kinds for kind in _BARE_IN_FIRST)
    return (*units, "") if units and bare and not of_first else units


def first_unit(calculation: Calculation, described: Input) -> str:
    """Return the unit chosen at first: the example's, else the default's, else the usual one."""
    units = offered_units(described)
    for text in (dict(calculation.examples).get(described.name, ""), described.default):
        if text:
            found = typed_unit(text)
            return found if found in units else "" if not found and "" in units else units[0]
    return units[0]


def typed_unit(text: str) -> str:
    """Return the unit that a text, or the first of a list, ends with; "" for none."""
    return _NUMBER.sub("", text.partition(SEPARATOR)[0].strip(), count=1)


def common_unit(text: str) -> str:
    """Return the unit that every value of a text ends with, "" where they differ."""
    units = {typed_unit(part) for part in text.split(SEPARATOR)}
    return units.pop() if len(units) == 1 else ""


def with_unit(text: str, unit: str) -> str:
    """Return a text with the unit after each number that has none of its own."""
    if not unit:
        return text
    parts = (part.strip() for part in text.split(SEPARATOR))
    return f"{SEPARATOR} ".join(f"{p} {unit}" if _BARE.fullmatch(p) else p for p in parts)


def without_units(text: str) -> str:
    """Return a text with nothing but the numbers that it begins with, for another unit."""
    parts = (part.strip() for part in text.split(SEPARATOR))
    found = ((_BARE.match(part), part) for part in parts)
    return f"{SEPARATOR} ".join(bare[0] if bare else part for bare, part in found)


def given_again(kept: KeptCalculation, sign: str) -> dict[str, str]:
    """Return what a kept calculation was given, with the decimal sign of today."""
    if kept.decimal_sign == sign:
        return dict(kept.given)
    return {name: _DECIMALS.sub(rf"\1{sign}", text) for name, text in kept.given}
