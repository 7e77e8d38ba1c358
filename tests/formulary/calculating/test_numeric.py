"""Roots, powers, exponentials and logarithms keep the error that they promise."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from formulary.calculating.numeric import exponential, natural_logarithm, power, square_root

BOUND = Fraction(51, 10**16)
numbers = st.fractions(min_value=Fraction(1, 1000), max_value=1000, max_denominator=1000)


@given(numbers)
def test_a_square_root_squared_is_the_number(number: Fraction) -> None:
    assert abs(square_root(number) ** 2 / number - 1) < 3 * BOUND


@given(numbers)
def test_a_power_of_one_half_is_the_square_root(number: Fraction) -> None:
    assert abs(power(number, Fraction(1, 2)) / square_root(number) - 1) < 3 * BOUND


@given(st.fractions(min_value=-20, max_value=20, max_denominator=1000))
def test_the_logarithm_of_an_exponential_is_the_number(number: Fraction) -> None:
    assert abs(natural_logarithm(exponential(number)) - number) < 30 * BOUND


def test_known_constants_come_out_in_all_their_digits() -> None:
    assert exponential(Fraction(1)) == Fraction("2.71828182845905")
    assert natural_logarithm(Fraction(2)) == Fraction("0.693147180559945")
    assert square_root(Fraction(2)) == Fraction("1.41421356237310")


def test_what_has_no_root_power_or_logarithm_is_refused() -> None:
    with pytest.raises(ValueError, match="no logarithm"):
        natural_logarithm(Fraction(0))
    with pytest.raises(ValueError, match="no square root"):
        square_root(Fraction(-1))
    with pytest.raises(ValueError, match="no power"):
        power(Fraction(0), Fraction(1, 2))
