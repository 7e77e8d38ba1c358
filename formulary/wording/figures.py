"""Strengths and doses that stand in what people wrote, read as amounts."""

from __future__ import annotations

import re
from dataclasses import dataclass

from formulary.errors import BadText
from formulary.quantity.amount import Amount, Concentration
from formulary.quantity.parsing import parse_amount
from formulary.quantity.typed_number import plain_spaces

# Thousands are parted by a space; "1,250" may be either, so it is no figure here.
_FIGURE = r"(?<![\d.,])(?:\d{1,3}(?: \d{3})+|\d+\.\d+|0,\d+|\d+,(?!\d{3}(?!\d))\d+|\d+)(?![.,]?\d)"
_UNIT = (
    r"(?:micrograms?|milligrams?|grams?|kg|mg|mcg|[\N{MICRO SIGN}\N{GREEK SMALL LETTER MU}u]g|g|"
    r"international units?|units?|IU|I\.U\.)(?!\w)"
)
_MASS = re.compile(rf"{_FIGURE} ?{_UNIT}")
_DOSE = re.compile(
    rf"(?P<volume>{_FIGURE} ?m[lL]) ?\((?P<mass>{_FIGURE} ?{_UNIT})\)|"
    rf"(?P<mass_first>{_FIGURE} ?{_UNIT}) ?\((?P<volume_after>{_FIGURE} ?m[lL])\)"
)
_STRENGTH = re.compile(
    rf"(?P<part>{_FIGURE} ?{_UNIT}) ?(?:/|in|per|pro|je) ?(?P<count>{_FIGURE})? ?"
    r"(?P<whole>kg|g|m[lL]|[lL])(?!\w)"
)


@dataclass(frozen=True, slots=True)
class Dose:
    """A volume with the mass that it is said to hold, and how it stands in the text."""

    typed: str
    volume: Amount
    mass: Amount


def doses(text: str) -> tuple[Dose, ...]:
    """Return every dose of a liquid that is said both ways, such as 2 mL (10 mg)."""
    found = []
    for match in _DOSE.finditer(plain_spaces(text)):
        volume = _amount(match["volume"] or match["volume_after"])
        mass = _amount(match["mass"] or match["mass_first"])
        if volume is not None and mass is not None:
            found.append(Dose(match[0], volume, mass))
    return tuple(found)


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
