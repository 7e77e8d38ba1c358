"""Rounding to a balance's readability: once, exact, the direction in the name.

``step`` is the smallest difference that the balance or measure shows. What the rounding adds or
takes is ``rounded - amount``, for the caller to show or to put on the q.s. line. Each function
keeps the amount's own unit and raises ValueError for a step of zero or less.
"""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from math import ceil, floor

from formulary.quantity.amount import Amount

_HALF = Fraction(1, 2)


def round_half_even_to(amount: Amount, step: Amount) -> Amount:
    """Return the nearest multiple of ``step``; halfway, the even one."""
    return _rounded(amount, step, round)


def round_to_significant(number: Fraction, digits: int = 4) -> Fraction:
    """Return a number to so many significant digits, half to even: for showing, never for sums."""
    if not number:
        return number
    exponent = 0
    while abs(number) >= Fraction(10) ** (exponent + 1):
        exponent += 1
    while abs(number) < Fraction(10) ** exponent:
        exponent -= 1
    return Fraction(round(number, digits - 1 - exponent))


def round_half_up_to(amount: Amount, step: Amount) -> Amount:
    """Return the nearest multiple of ``step``; halfway, the larger one."""
    return _rounded(amount, step, lambda steps: floor(steps + _HALF))


def round_down_to(amount: Amount, step: Amount) -> Amount:
    """Return the largest multiple of ``step`` that isn't above the amount."""
    return _rounded(amount, step, floor)


def round_up_to(amount: Amount, step: Amount) -> Amount:
    """Return the smallest multiple of ``step`` that isn't below the amount."""
    return _rounded(amount, step, ceil)


def _rounded(amount: Amount, step: Amount, to_whole: Callable[[Fraction], int]) -> Amount:
    if step.number <= 0:
        raise ValueError(f"a step is above zero, not {step.number}")
    own_step = step.to(amount.unit)
    return own_step * to_whole(amount / own_step)
