"""A written quantity taken apart, so that columns align at the decimal sign."""

from __future__ import annotations

import re
from dataclasses import dataclass

from formulary.quantity.writing import NO_BREAK_SPACE

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
