"""The figure of a formula line as SQL sorts and sums it, beside its exact text."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from formulary.canonical_codecs import TAGS
from formulary.formula.kinds import (
    Fixed,
    InParts,
    Kind,
    PerUnit,
    Share,
    ToEndPoint,
    ToFill,
    ToTotal,
)
from formulary.quantity import units
from formulary.quantity.amount import Amount, Concentration, OneIn

_LARGEST = 2**63 - 1
# Nanograms in a gram, nanolitres in a millilitre, millionths of anything else.
_SCALES = {units.MASS: ("g", 10**9), units.VOLUME: ("mL", 10**6)}
_MILLIONTHS = 10**6


@dataclass(frozen=True, slots=True)
class Figure:
    """A line's kind by its stable name, the number with its unit, and the number scaled."""

    kind: str
    amount: Fraction | None
    unit: str
    scaled: int | None


def figure(quantity: Kind) -> Figure:
    """Return the figure of a line's quantity."""
    name = TAGS[type(quantity)]
    match quantity:
        case Share(strength=strength):
            return _of_strength(name, strength)
        case InParts(parts=parts):
            return Figure(name, parts.number, "part", _fitting(parts.number * _MILLIONTHS))
        case Fixed(amount=amount) | PerUnit(amount=amount) | ToTotal(total=amount):
            return _of_amount(name, amount)
        case ToEndPoint(about=about):
            return Figure(name, None, "", None) if about is None else _of_amount(name, about)
        case ToFill():
            return Figure(name, None, "", None)


def _of_strength(name: str, strength: Concentration | OneIn) -> Figure:
    if isinstance(strength, OneIn):
        number, unit = strength.total, f"1 in {strength.kind}"
    else:
        number, unit = strength.number, strength.unit
    return Figure(name, number, unit, _fitting(number * _MILLIONTHS))


def _of_amount(name: str, amount: Amount) -> Figure:
    unit, scale = _SCALES.get(units.dimension(amount.unit), (amount.unit, _MILLIONTHS))
    return Figure(name, amount.number, amount.unit, _fitting(amount.to(unit).number * scale))


def _fitting(scaled: Fraction) -> int | None:
    """Return the nearest whole number, if 64 bits hold it."""
    nearest = round(scaled)
    return nearest if abs(nearest) <= _LARGEST else None
