"""An amount is a number and its unit, inseparable."""

from __future__ import annotations

from fractions import Fraction
from typing import cast

import pytest

from formulary.errors import UnitMismatch
from formulary.quantity.amount import Amount, Concentration, OneIn, Parts

a_gram = Amount(Fraction(1), "g")
a_milligram = Amount(Fraction(1), "mg")


def test_amounts_add_and_subtract_in_the_unit_of_the_first() -> None:
    assert a_gram + a_milligram == Amount(Fraction(1001, 1000), "g")
    assert a_milligram - a_gram == Amount(Fraction(-999), "mg")


def test_amounts_compare_across_units() -> None:
    assert a_milligram < a_gram
    assert a_milligram <= a_gram
    assert a_gram > a_milligram
    assert a_gram >= a_gram.to("mg")


def test_an_amount_scales_by_exact_factors_and_gives_exact_ratios() -> None:
    assert a_gram * Fraction(1, 3) * 3 == a_gram
    assert a_gram / a_milligram == 1000
    with pytest.raises(TypeError, match="multiplied by a Fraction"):
        a_gram * cast("Fraction", 0.1)


def test_mass_and_volume_do_not_add() -> None:
    with pytest.raises(UnitMismatch):
        a_gram + Amount(Fraction(1), "mL")


def test_a_float_is_no_quantity() -> None:
    lossy = cast("Fraction", 0.1)
    with pytest.raises(TypeError, match="holds a Fraction"):
        Amount(lossy, "g")
    with pytest.raises(TypeError, match="holds a Fraction"):
        Concentration(lossy, "% w/w")
    with pytest.raises(TypeError, match="holds a Fraction"):
        OneIn(lossy, "w/w")
    with pytest.raises(TypeError, match="hold a Fraction"):
        Parts(lossy)


def test_a_ratio_is_a_per_cent_of_the_same_kind() -> None:
    assert OneIn(Fraction(1000), "w/v").as_percent() == Concentration(Fraction(1, 10), "% w/v")
    with pytest.raises(ValueError, match="kind"):
        OneIn(Fraction(10), "%")
