"""Density of ethanol-water mixtures by the general formula of OIML R 22, and its inverses.

The formula is a polynomial with decimal coefficients, worked out in whole numbers and rounded once,
to 15 decimals of g/mL: an arithmetical error below 5.1e-16. Its inverses halve an interval, in
whole numbers too, until it is 2**-50 wide, and are rounded to 15 decimals: the mass fraction errs
by less than 1e-15. The formula itself meets handbook densities within 0.06 kg/m3, to which the
tests hold it.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from functools import cache, lru_cache
from math import lcm

from formulary.calculating.tables import table

BITS = 50
DECIMALS = 15
LEAST_TEMPERATURE = Fraction(-20)
MOST_TEMPERATURE = Fraction(40)
REFERENCE = Fraction(20)
"""The temperature in °C around which the formula is written."""
_DEGREE = 11
_DEGREE_OF_TEMPERATURE = 6
_KG_M3_IN_G_ML = 1000


@dataclass(frozen=True, slots=True)
class Polynomial:
    """A polynomial in the mass fraction: whole coefficients over one denominator."""

    coefficients: tuple[int, ...]
    denominator: int

    def at(self, fraction: Fraction) -> Fraction:
        """Return its exact value."""
        top, bottom = fraction.as_integer_ratio()
        total, scale = 0, 1
        for coefficient in reversed(self.coefficients):
            total = total * top + coefficient * scale
            scale *= bottom
        return Fraction(total * bottom, self.denominator * scale)

    def times_fraction(self) -> Polynomial:
        """Return the polynomial multiplied by its variable."""
        return Polynomial((0, *self.coefficients), self.denominator)

    def less(self, value: Fraction, sign: int) -> tuple[int, ...]:
        """Return whole coefficients of a positive multiple of ``sign`` (itself less a value)."""
        top, bottom = (value * self.denominator).as_integer_ratio()
        first, *rest = (sign * each * bottom for each in self.coefficients)
        return (first - sign * top, *rest)


@lru_cache(maxsize=64)
def density_polynomial(temperature: Fraction) -> Polynomial:
    """Return the density in g/mL at a temperature in °C, as a polynomial in the mass fraction."""
    dt = temperature - REFERENCE
    exact = [_coefficient(power, dt) / _KG_M3_IN_G_ML for power in range(_DEGREE + 1)]
    denominator = lcm(*(each.denominator for each in exact))
    return Polynomial(tuple(int(each * denominator) for each in exact), denominator)


def _coefficient(power: int, dt: Fraction) -> Fraction:
    found = _coefficients()
    total = found[f"A{power + 1}"]
    for degree in range(1, _DEGREE_OF_TEMPERATURE + 1):
        symbol = f"C{degree},{power}" if power else f"B{degree}"
        total += found.get(symbol, Fraction(0)) * dt**degree
    return total


@cache
def _coefficients() -> dict[str, Fraction]:
    return {row["symbol"]: Fraction(row["value"]) for row in table("oiml-r22-coefficients")}


def density(mass_fraction: Fraction, temperature: Fraction) -> Fraction:
    """Return the density in g/mL. ``mass_fraction`` is from 0 to 1, ``temperature`` in °C."""
    return round(density_polynomial(temperature).at(mass_fraction), DECIMALS)


def ethanol_in_volume(mass_fraction: Fraction, temperature: Fraction) -> Fraction:
    """Return the grams of ethanol in 1 mL of the mixture at a temperature."""
    return mass_fraction * density(mass_fraction, temperature)


def volume_fraction(mass_fraction: Fraction, scale: Fraction) -> Fraction:
    """Return the volume fraction: mL of ethanol in 1 mL, both measured at ``scale`` °C."""
    return ethanol_in_volume(mass_fraction, scale) / density(Fraction(1), scale)


def mass_fraction_of_content(g_per_ml: Fraction, temperature: Fraction) -> Fraction:
    """Return the mass fraction of a mixture with so many grams of ethanol in 1 mL."""
    content = density_polynomial(temperature).times_fraction()
    return _halved(content.less(g_per_ml, 1))


def mass_fraction_of_volume(fraction: Fraction, scale: Fraction) -> Fraction:
    """Return the mass fraction of a mixture of that volume fraction at ``scale`` °C."""
    return mass_fraction_of_content(fraction * density(Fraction(1), scale), scale)


def mass_fraction_of_density(g_per_ml: Fraction, temperature: Fraction) -> Fraction:
    """Return the mass fraction of a mixture of that density, which falls as ethanol is added."""
    return _halved(density_polynomial(temperature).less(g_per_ml, -1))


def _halved(coefficients: tuple[int, ...]) -> Fraction:
    """Return where a rising polynomial turns from below zero to zero or more, from 0 to 1."""
    last = len(coefficients) - 1
    scaled = [each << BITS * (last - power) for power, each in enumerate(coefficients)]
    scaled.reverse()
    if coefficients[0] >= 0:
        return Fraction(0)
    low, high = 0, 1 << BITS
    if _at(scaled, high - 1) < 0:
        return Fraction(1)
    while high - low > 1:
        middle = (low + high) // 2
        if _at(scaled, middle) < 0:
            low = middle
        else:
            high = middle
    return round(Fraction(low + high, 2 << BITS), DECIMALS)


def _at(falling_powers: list[int], number: int) -> int:
    total = 0
    for coefficient in falling_powers:
        total = total * number + coefficient
    return total
