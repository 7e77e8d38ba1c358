"""The usual range of a strength as it is typed."""

from __future__ import annotations

from fractions import Fraction

import pytest

from formulary.errors import BadText
from formulary.quantity.amount import Amount, Concentration
from formulary.review.usual import parse_usual_range


@pytest.mark.parametrize(
    ("typed", "lowest", "highest"),
    [
        (
            "0.5 to 2 % w/w",
            Concentration(Fraction(1, 2), "% w/w"),
            Concentration(Fraction(2), "% w/w"),
        ),
        (
            "1 mg/g to 5 mg/g",
            Concentration(Fraction(1, 10), "% w/w"),
            Concentration(Fraction(1, 2), "% w/w"),
        ),
        (
            "1 to 5 mg/mL",
            Concentration(Fraction(1, 10), "% w/v"),
            Concentration(Fraction(1, 2), "% w/v"),
        ),
        ("2 to 5 mg", Amount(Fraction(2), "mg"), Amount(Fraction(5), "mg")),
    ],
)
def test_two_ends_share_a_unit(
    typed: str, lowest: Concentration | Amount, highest: Concentration | Amount
) -> None:
    usual = parse_usual_range(typed, ".", "a handbook")
    assert (usual.lowest, usual.highest, usual.source) == (lowest, highest, "a handbook")


@pytest.mark.parametrize(
    "typed", ["5 %", "2 to 1 % w/w", "0 to 1 % w/w", "1 mg to 2 mL", "1 to 2", "1 to 2 to 3 mg", ""]
)
def test_anything_else_is_refused(typed: str) -> None:
    with pytest.raises(BadText):
        parse_usual_range(typed, ".", "a handbook")


def test_a_range_without_a_source_is_refused_at_its_field() -> None:
    with pytest.raises(BadText) as refused:
        parse_usual_range("1 to 2 mg", ".", "  ")
    assert refused.value.field == "usual_source"
