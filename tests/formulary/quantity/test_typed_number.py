"""Numbers as people type them."""

from __future__ import annotations

from fractions import Fraction

import pytest

from formulary.errors import BadText
from formulary.quantity.parsing import parse_number


@pytest.mark.parametrize(
    ("typed", "number"),
    [
        ("5", Fraction(5)),
        ("0", Fraction(0)),
        ("0.5", Fraction(1, 2)),
        (".5", Fraction(1, 2)),
        ("5.0", Fraction(5)),
        ("1.250", Fraction(5, 4)),
        ("12,5", Fraction(25, 2)),
        ("1,5", Fraction(3, 2)),
        ("0,125", Fraction(1, 8)),
        (",125", Fraction(1, 8)),
        ("1,2500", Fraction(5, 4)),
        ("1 000", Fraction(1000)),
        ("1\u202f000\u202f000.25", Fraction(4000001, 4)),
        ("12\u00a0500", Fraction(12500)),
        ("12\u2009500", Fraction(12500)),
        ("1/2", Fraction(1, 2)),
        (" 7 ", Fraction(7)),
    ],
)
def test_a_house_that_writes_points_reads_what_is_not_in_doubt(
    typed: str, number: Fraction
) -> None:
    assert parse_number(typed, ".") == number


@pytest.mark.parametrize(
    ("typed", "sign", "readings"),
    [
        ("1,250", ".", {Fraction(5, 4), Fraction(1250)}),
        ("1.250", ",", {Fraction(5, 4), Fraction(1250)}),
        ("12,000", ".", {Fraction(12), Fraction(12000)}),
    ],
)
def test_the_other_sign_before_three_figures_is_refused_with_both_readings(
    typed: str, sign: str, readings: set[Fraction]
) -> None:
    with pytest.raises(BadText) as refused:
        parse_number(typed, sign)
    said = dict(refused.value.message.parameters)
    assert refused.value.message.key == "quantity.number.two_ways"
    assert {said["one"], said["other"]} == readings


@pytest.mark.parametrize(
    ("typed", "reason"),
    [
        ("", "empty"),
        ("  ", "empty"),
        ("-5", "negative"),
        ("\u22125", "negative"),
        ("1e3", "exponent"),
        ("1E-3", "exponent"),
        ("1.250,5", "both_signs"),
        ("1,250.5", "both_signs"),
        ("1,250,000", "sign_twice"),
        ("1.2.3", "sign_twice"),
        ("5.", "ends_with_sign"),
        ("05", "leading_zero"),
        ("0 500", "leading_zero"),
        ("12 50", "grouping"),
        ("1000 000", "grouping"),
        ("five", "unreadable"),
        ("NaN", "unreadable"),
        ("inf", "unreadable"),
        ("1/0", "unreadable"),
        ("1'000", "unreadable"),
        ("+5", "unreadable"),
        ("\u0665", "foreign_digits"),
        ("\uff15", "foreign_digits"),
        ("9" * 41, "too_long"),
    ],
)
def test_anything_else_is_refused_with_its_reason(typed: str, reason: str) -> None:
    with pytest.raises(BadText) as refused:
        parse_number(typed, ".")
    assert refused.value.message.key == f"quantity.number.{reason}"


def test_only_a_point_and_a_comma_are_decimal_signs() -> None:
    with pytest.raises(ValueError, match="point or a comma"):
        parse_number("5", ";")
