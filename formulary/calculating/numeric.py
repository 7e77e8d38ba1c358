"""Roots, powers, exponentials and logarithms: the only sums here that can't be exact.

Each is worked out with 40 digits by the decimal module, whose ``exp``, ``ln`` and ``sqrt`` are
correctly rounded and whose powers err by less than one unit in the last place, and is then rounded
to 15 significant digits: the relative error is below 5.1e-15.
"""

from __future__ import annotations

from decimal import Context, Decimal
from fractions import Fraction

DIGITS = 15
_CONTEXT = Context(prec=40)
_SHOWN = Context(prec=DIGITS)


def power(base: Fraction, exponent: Fraction) -> Fraction:
    """Return ``base`` to the ``exponent``. Raises ValueError unless the base is above zero."""
    if base <= 0:
        raise ValueError(f"no power of {base} is taken")
    return _shown(_CONTEXT.power(_decimal(base), _decimal(exponent)))


def square_root(number: Fraction) -> Fraction:
    """Return the square root. Raises ValueError below zero."""
    if number < 0:
        raise ValueError(f"{number} has no square root")
    return _shown(_CONTEXT.sqrt(_decimal(number)))


def exponential(number: Fraction) -> Fraction:
    """Return e to the ``number``."""
    return _shown(_CONTEXT.exp(_decimal(number)))


def natural_logarithm(number: Fraction) -> Fraction:
    """Return the logarithm to base e. Raises ValueError unless the number is above zero."""
    if number <= 0:
        raise ValueError(f"{number} has no logarithm")
    return _shown(_CONTEXT.ln(_decimal(number)))


def shortened(number: Fraction) -> Fraction:
    """Return a product of such results with 15 significant digits again."""
    return _shown(_decimal(number))


def common_logarithm(number: Fraction) -> Fraction:
    """Return the logarithm to base 10. Raises ValueError unless the number is above zero."""
    if number <= 0:
        raise ValueError(f"{number} has no logarithm")
    return _shown(_CONTEXT.log10(_decimal(number)))


def _decimal(number: Fraction) -> Decimal:
    return _CONTEXT.divide(Decimal(number.numerator), Decimal(number.denominator))


def _shown(number: Decimal) -> Fraction:
    return Fraction(_SHOWN.plus(number))
