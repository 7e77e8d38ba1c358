"""Published sums of buffers and ionisation."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest

from formulary.calculating.reading import calculate
from formulary.calculating.registry import calculation_named
from formulary.quantity.amount import Amount
from tests.formulary.calculations.published import Run, expect, published

ACETATE = {"ph": "5", "pka": "4.76"}
CASES = {
    "ph-001": (Run("buffer-ratio", ACETATE, {"ratio_base_to_acid": "ratio"}),),
    "ph-004": (
        Run("ionisation", {"form": "acid", "pka": "2.2", "ionised_ratio": "1000"}, {"pH": "ph"}),
    ),
    "ph-007": (
        Run("buffer-ratio", {"ph": "5.2", "pka": "4.76"}, {"acid_fraction": "acid_fraction"}),
    ),
    "ph-008": (
        Run(
            "buffer-ratio",
            ACETATE,
            {"base_percent": "base_percent", "acid_percent": "acid_percent"},
        ),
    ),
    "ph-009": (
        Run(
            "buffer-ph",
            {"ka": "3.38e-5", "base": "1 mol/L", "acid": "1 mol/L"},
            {"pH": "ph"},
        ),
    ),
    "ph-011": (
        Run(
            "buffer-ph",
            {"ka": "0.0000338", "base": "300 mmol/L", "acid": "0.7"},
            {"pH": "ph"},
        ),
    ),
}


@pytest.mark.parametrize("case", published("14-ph"), ids=lambda case: case["id"])
def test_a_published_answer_comes_out(case: dict[str, Any]) -> None:
    expect(case, *CASES[case["id"]])


def number(name: str, result: str, **typed: str) -> Fraction:
    found = calculate(calculation_named(name), typed).value(result)
    return Fraction(getattr(found, "number", 0))


@pytest.mark.parametrize(
    "typed", ["3.38e-5", "3.38E-5", "3.38 x 10^-5", "3.38 × 10−5", "3,38e-5", "0.0000338"]
)
def test_a_small_constant_is_read_however_it_is_written(typed: str) -> None:
    assert number("ka-and-pka", "ka", ka=typed) == Fraction("0.0000338")


def test_a_base_is_ionised_below_its_pka() -> None:
    assert number("ionisation", "ionised_percent", form="base", pka="9", ph="7") > 99
    assert number("ionisation", "ionised_percent", form="acid", pka="9", ph="7") < 1


def test_capacity_is_greatest_at_the_pka_and_0_576_of_the_concentration() -> None:
    typed = {"concentration": "0.1 mol/L", "pka": "4.76"}
    greatest = number("buffer-capacity", "capacity", ph="4.76", **typed)
    assert greatest == number("buffer-capacity", "greatest_capacity", ph="5.2", **typed)
    assert round(greatest, 4) == Fraction("0.0576")
    assert number("buffer-capacity", "capacity", ph="5.2", **typed) < greatest


def test_a_capacity_found_is_what_was_added_over_the_change() -> None:
    found = number("buffer-capacity", "capacity", added="10 mmol/L", change="0.1")
    assert found == Fraction("0.1")


def test_equal_volumes_of_equal_stocks_make_a_buffer_at_the_pka() -> None:
    typed = {"volume": "1 L", "concentration": "0.1 mol/L", "ph": "4.76", "pka": "4.76"}
    stocks = {"acid_stock": "0.2 mol/L", "base_stock": "0.2 mol/L"}
    outcome = calculate(calculation_named("buffer-making"), typed | stocks)
    quarter = Amount(Fraction(250), "mL")
    assert (outcome.value("acid_volume"), outcome.value("base_volume")) == (quarter, quarter)
    assert outcome.value("water") == Amount(Fraction(500), "mL")


def test_a_borate_buffer_is_scaled_from_its_row() -> None:
    typed = {"volume": "500 mL", "ph": "7.4"}
    outcome = calculate(calculation_named("borate-buffer"), typed)
    assert outcome.value("boric_acid") == Amount(Fraction("5.58"), "g")
    assert outcome.value("borax") == Amount(Fraction("0.955"), "g")
    assert outcome.value("sodium_chloride") == Amount(Fraction("1.35"), "g")


def test_a_strong_acid_moves_a_buffer_and_the_same_base_moves_it_as_far_up() -> None:
    typed = {"pka": "4.76", "base": "0.1 mol/L", "acid": "0.1 mol/L"}
    down = number("buffer-after-addition", "change", strong_acid="10 mmol/L", **typed)
    up = number("buffer-after-addition", "change", strong_base="10 mmol/L", **typed)
    assert down == -up
    # log (0.09 / 0.11), from memory to four places.
    assert round(down, 4) == Fraction("-0.0872")
