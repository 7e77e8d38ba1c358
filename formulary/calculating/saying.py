"""Results, units and examples of a calculation as the house's people read and type them."""

from __future__ import annotations

import re

from formulary.calculating.outcome import Number, Result, Value
from formulary.catalogue import Catalogue, UnknownTextError
from formulary.messages import message
from formulary.quantity.amount import Parts
from formulary.quantity.writing import NO_BREAK_SPACE

_NUMBERED = re.compile(r"(?P<name>.+)_(?P<number>\d+)")


def result_name(area: str, result: Result, catalogue: Catalogue) -> str:
    """Return a result's name; those of a list are called by one name and their number."""
    try:
        return catalogue.text(f"{area}.result.{result.name}")
    except UnknownTextError:
        found = _NUMBERED.fullmatch(result.name)
        if found is None:
            raise
    said = message(f"{area}.result.{found['name']}")
    return catalogue.text(message("calculating.numbered", name=said, number=int(found["number"])))


def value_said(value: Value, catalogue: Catalogue) -> str:
    """Return a result as it is written."""
    if isinstance(value, bool):
        return catalogue.text(f"calculating.{'yes' if value else 'no'}")
    if not isinstance(value, Number):
        return catalogue.written(value)
    if value.unit == "parts":
        return catalogue.written(Parts(value.number))
    number = catalogue.written(value.number)
    unit = unit_said(value.unit, catalogue)
    return f"{number}{NO_BREAK_SPACE}{unit}" if unit else number


def unit_said(unit: str, catalogue: Catalogue) -> str:
    """Return a unit as it is written: micrograms, m²."""
    words = catalogue.words
    return "/".join(words[part][1] if part in words else part for part in unit.split("/"))


def in_house_sign(text: str, sign: str) -> str:
    """Return an example with the house's decimal sign; formulas of substances have their own."""
    return re.sub(r"(?<![A-Za-z0-9.])(\d+)\.(?=\d)", rf"\g<1>{sign}", text)
