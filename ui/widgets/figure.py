"""A written quantity taken apart, so that columns align at the decimal sign."""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction

from formulary.catalogue import Catalogue
from formulary.quantity.amount import Amount
from formulary.quantity.writing import (
    NO_BREAK_SPACE,
    convenient,
    is_finite,
    plain_number,
    write_reading,
)

_PIECES = re.compile(
    r"(?P<before>\D*?)(?P<whole>\d[\d\N{NARROW NO-BREAK SPACE}]*)"
    r"(?P<decimals>[.,]\d+)?(?P<after>.*)"
)


@dataclass(frozen=True, slots=True)
class Figure:
    """What stands before the number, its whole part, its sign with decimals, and the unit."""

    before: str
    whole: str
    decimals: str
    unit: str

    def number(self) -> str:
        """Return the number alone."""
        return f"{self.whole}{self.decimals}"

    def text(self) -> str:
        """Return it in one piece, for a screen reader."""
        return f"{self.before}{self.whole}{self.decimals}{NO_BREAK_SPACE}{self.unit}".strip()


def taken_apart(text: str) -> Figure:
    """Return the pieces of a written quantity; without a number all of it stands before."""
    found = _PIECES.fullmatch(text)
    if found is None:
        return Figure(text, "", "", "")
    return Figure(found["before"], found["whole"], found["decimals"] or "", found["after"].strip())


def reading(amount: Amount, readability: Amount | None, catalogue: Catalogue) -> Figure:
    """Return an amount as its balance shows it, with all that balance's decimals."""
    shown = convenient(amount)
    written = taken_apart(catalogue.written(shown))
    if readability is None:
        return written
    step = readability.to(shown.unit).number
    if not is_finite(step):
        return written
    places = len(plain_number(step).partition(".")[2])
    if (shown.number * Fraction(10) ** places).denominator != 1:
        return written
    digits = write_reading(shown.number, catalogue.decimal_sign, places)
    whole, sign, decimals = digits.partition(catalogue.decimal_sign)
    return Figure("", whole, sign + decimals, written.unit)
