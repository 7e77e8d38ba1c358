"""Results as people read them: a sensible number of figures, units in the right number."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from formulary.calculating.outcome import Number, Result, Value
from formulary.calculating.saying import brought_to_figures, result_name, value_said
from formulary.catalogue import Catalogue
from formulary.quantity.amount import Amount, Concentration, OneIn
from formulary.quantity.money import Money


@pytest.mark.parametrize(
    ("value", "said"),
    [
        (Amount(Fraction(100, 3), "g"), "33.3333 g"),
        (Amount(Fraction(2, 3) / 1000, "mg"), "0.000666667 mg"),
        (Amount(Fraction("1234.56"), "g"), "1234.56 g"),
        (Amount(Fraction("12345678.9"), "g"), "12 345 679 g"),
        (Amount(Fraction(12), "piece"), "12 pieces"),
        (Concentration(Fraction(5, 7), "% w/w"), "0.714286 % w/w"),
        (OneIn(Fraction(1000, 3), "w/v"), "1 in 333.333 w/v"),
        (Number(Fraction(1), "day"), "1 day"),
        (Number(Fraction(8), "day"), "8 days"),
        (Number(Fraction(20), "drop/mL"), "20 drops/mL"),
        (Money(Fraction("1234567.89"), "EUR", 2), "1 234 567.89 EUR"),
        (True, "yes"),
    ],
)
def test_a_result_is_shown_in_six_figures(value: Value, said: str) -> None:
    shown = value_said(value, Catalogue()).replace("\N{NO-BREAK SPACE}", " ")
    assert shown.replace("\N{NARROW NO-BREAK SPACE}", " ") == said


@given(st.fractions(min_value=0))
def test_what_is_shown_is_within_half_of_its_sixth_figure(number: Fraction) -> None:
    shown = brought_to_figures(number)
    assert abs(shown - number) * 2 * 10**5 <= number
    assert brought_to_figures(shown) == shown


def test_a_result_says_what_it_belongs_to() -> None:
    of_source = Result("amount_2", Amount(Fraction(30), "g"), of="10 % w/w")
    assert result_name("alligation", of_source, Catalogue()) == "Amount: 10 % w/w"
    numbered = Result("amount_2", Amount(Fraction(30), "g"))
    assert result_name("alligation", numbered, Catalogue()) == "Amount (2)"
