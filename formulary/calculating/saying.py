"""Results, units and examples of a calculation as the house's people read and type them."""

from __future__ import annotations

import re
from dataclasses import replace
from fractions import Fraction

from formulary.calculating.outcome import Number, Result, Value
from formulary.catalogue import Catalogue, UnknownTextError
from formulary.messages import message
from formulary.quantity.amount import Amount, Concentration, OneIn, Parts
from formulary.quantity.rounding import round_to_significant
from formulary.quantity.writing import NO_BREAK_SPACE

SHOWN_FIGURES = 6
"""More than a balance or a measure has; fewer would hide that a sum closes (1234.56 g)."""

_NUMBERED = re.compile(r"(?P<name>.+)_(?P<number>\d+)")


def result_name(area: str, result: Result, catalogue: Catalogue) -> str:
    """Return a result's name with what it belongs to; those of a list without it are numbered."""
    if result.of:
        name = _NUMBERED.sub(r"\g<name>", result.name)
        said = message(f"{area}.result.{name}")
        return catalogue.text(message("calculating.of", name=said, of=result.of))
    try:
        return catalogue.text(f"{area}.result.{result.name}")
    except UnknownTextError:
        found = _NUMBERED.fullmatch(result.name)
        if found is None:
            raise
    said = message(f"{area}.result.{found['name']}")
    return catalogue.text(message("calculating.numbered", name=said, number=int(found["number"])))


def brought_to_figures(number: Fraction) -> Fraction:
    """Return a number with the figures that a result shows; its whole part is never rounded off.

    Only what is shown is rounded: working and JSON keep the exact figure.
    """
    if abs(number) >= 10**SHOWN_FIGURES:
        return Fraction(round(number))
    return round_to_significant(number, SHOWN_FIGURES)


def shown(value: Value) -> Value:
    """Return a result as it is shown, in :data:`SHOWN_FIGURES` figures; money as it is."""
    if isinstance(value, Amount | Concentration | Number):
        return replace(value, number=brought_to_figures(value.number))
    if isinstance(value, OneIn):
        return replace(value, total=brought_to_figures(value.total))
    return value


def value_said(exact: Value, catalogue: Catalogue) -> str:
    """Return a result as it is written in a heading, in as many figures as one can use."""
    value = shown(exact)
    if isinstance(value, bool):
        return catalogue.text(f"calculating.{'yes' if value else 'no'}")
    if not isinstance(value, Number):
        return catalogue.written(value)
    if value.unit == "parts":
        return catalogue.written(Parts(value.number))
    number = catalogue.written(value.number)
    unit = unit_said(value.unit, catalogue, value.number)
    return f"{number}{NO_BREAK_SPACE}{unit}" if unit else number


# A unit that stands alone, in a column's head, is that of many.
_SEVERAL = 5


def unit_said(unit: str, catalogue: Catalogue, number: Fraction | int = _SEVERAL) -> str:
    """Return a unit as it is written after a number: micrograms, 1 day, m²."""
    first, *rest = unit.split("/")
    words = catalogue.words
    counted = words[first](number) if first in words else first
    return "/".join((counted, *(words[part](1) if part in words else part for part in rest)))


def in_house_sign(text: str, sign: str) -> str:
    """Return an example with the house's decimal sign; formulas of substances have their own."""
    return re.sub(r"(?<![A-Za-z0-9.])(\d+)\.(?=\d)", rf"\g<1>{sign}", text)
