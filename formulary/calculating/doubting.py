"""Figures that can be typed but hardly be meant: a caution beside the answer, never a stop."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from formulary.calculating.describing import Calculation, Input, Kind
from formulary.calculating.outcome import caution
from formulary.calculating.values import Given
from formulary.finding import Finding
from formulary.messages import message
from formulary.quantity import units
from formulary.quantity.amount import Amount

MERCURY = Fraction("13.6")
"""Its density in g/mL, from memory; no liquid at room temperature has more."""
VAST = {units.MASS: Amount(Fraction(1000), "kg"), units.VOLUME: Amount(Fraction(1000), "L")}
"""More than a pharmacy makes or keeps at once; from memory."""
MOST_DROPS = 100
"""More are hardly counted for one dose; from memory."""
LEAST_INDEX, MOST_INDEX = Fraction(8), Fraction(70)
"""Body mass index in kg/m², from a preterm infant to the heaviest adult; from memory."""


def improbable(calculation: Calculation, given: Given) -> Iterator[Finding]:
    """Yield a caution for each typed figure that is hardly one of a pharmacy."""
    for each in calculation.inputs:
        if given.has(each.name) and each.name not in given.defaulted:
            typed = given.values[each.name]
            for value in typed if isinstance(typed, tuple) else (typed,):
                yield from _of_value(each, value)


def _of_value(described: Input, value: object) -> Iterator[Finding]:
    if isinstance(value, Amount):
        most = VAST.get(units.dimension(value.unit))
        if most is not None and value > most:
            yield caution(message("calculating.vast", amount=value), described.name)
    elif described.kinds == (Kind.DENSITY,) and isinstance(value, Fraction) and value > MERCURY:
        yield caution(message("calculating.dense", density=value), described.name)


def many_drops(drops: Fraction, field: str) -> tuple[Finding, ...]:
    """Return a caution for more drops in one dose than anybody counts."""
    if drops <= MOST_DROPS:
        return ()
    return (caution(message("calculating.many_drops", drops=drops), field),)


def build(height: Amount, weight: Amount) -> tuple[Finding, ...]:
    """Return a caution for a height and a weight that hardly belong to one person."""
    metres = height.to("cm").number / 100
    index = weight.to("kg").number / metres**2
    if LEAST_INDEX <= index <= MOST_INDEX:
        return ()
    said = message(
        "calculating.build",
        height=height,
        weight=weight,
        index=round(index, 1),
        least=LEAST_INDEX,
        most=MOST_INDEX,
    )
    return (caution(said, "weight"),)
