"""How much of the volume is lost when ethanol is diluted, over all strengths: to be plotted."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from formulary.calculating.ethanol_water import density, volume_fraction

HUNDRED = 100


@dataclass(frozen=True, slots=True)
class Contraction:
    """The mL lost in making 100 mL of a strength, in per cent v/v."""

    percent: Fraction
    lost: Fraction


def contraction(
    strong: Fraction, weak: Fraction, made: Fraction, temperature: Fraction, scale: Fraction
) -> Contraction:
    """Return what is lost when two ethanols become a third, each given as its mass fraction.

    ``temperature`` is that of measuring and ``scale`` that of the per cent by volume, in °C.
    """
    mass = HUNDRED * density(made, temperature)
    share = (made - weak) / (strong - weak)
    taken = mass * share / density(strong, temperature)
    added = mass * (1 - share) / density(weak, temperature)
    return Contraction(volume_fraction(made, scale) * HUNDRED, taken + added - HUNDRED)


def contraction_curve(
    strong: Fraction, weak: Fraction, temperature: Fraction, scale: Fraction, steps: int = 40
) -> tuple[Contraction, ...]:
    """Return the contraction from the weaker ethanol to the stronger, in equal steps of mass."""
    width = (strong - weak) / steps
    return tuple(
        contraction(strong, weak, weak + width * step, temperature, scale)
        for step in range(steps + 1)
    )
