"""A usual range of factors as it is typed."""

from __future__ import annotations

from fractions import Fraction

import pytest

from formulary.errors import BadText
from formulary.scaling.factor_range import parse_factor_range


@pytest.mark.parametrize(
    ("typed", "sign"), [("1 to 1.1", "."), ("1,0 to 1,1", ","), ("1–1.1", "."), (" 1 - 1.1 ", ".")]
)
def test_two_ends_are_read(typed: str, sign: str) -> None:
    assert parse_factor_range(typed, sign) == (Fraction(1), Fraction(11, 10))


@pytest.mark.parametrize("typed", ["", "1", "1.1 to 1", "0 to 1", "one to two", "1 to 1.1 to 2"])
def test_anything_else_is_refused(typed: str) -> None:
    with pytest.raises(BadText):
        parse_factor_range(typed, ".")
