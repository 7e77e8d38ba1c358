"""The book's amounts are read in one kind of unit, to as many digits as anybody reads."""

from __future__ import annotations

from fractions import Fraction

import pytest

from formulary.quantity.amount import Amount
from formulary.stock.shelf import for_reading
from tests.helpers.formulas import amount


@pytest.mark.parametrize(
    ("held", "read"),
    [
        (Amount(Fraction("0.38399"), "kg"), "383.99 g"),
        (Amount(Fraction("2.3830542482"), "L"), "2383.05 mL"),
        (Amount(Fraction(9263, 11), "mL"), "842.091 mL"),
        (Amount(Fraction(25), "kg"), "25000 g"),
        (Amount(Fraction(12), "piece"), "12 pieces"),
        (Amount(Fraction(0), "g"), "0 g"),
        (Amount(Fraction(-2, 5), "g"), "-0.4 g"),
    ],
)
def test_it_is_read_in_the_unit_that_is_weighed(held: Amount, read: str) -> None:
    wanted = amount(read.removeprefix("-"))
    assert for_reading(held) == (wanted * -1 if read.startswith("-") else wanted)
