"""Rounding to a balance's readability."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction

import pytest

from formulary.quantity.amount import Amount
from formulary.quantity.parsing import parse_amount
from formulary.quantity.rounding import (
    round_down_to,
    round_half_even_to,
    round_half_up_to,
    round_up_to,
)

Rounding = Callable[[Amount, Amount], Amount]


@pytest.mark.parametrize(
    ("rounding", "amount", "step", "rounded"),
    [
        (round_half_even_to, "1.25 g", "0.1 g", "1.2 g"),
        (round_half_even_to, "1.35 g", "0.1 g", "1.4 g"),
        (round_half_up_to, "1.25 g", "0.1 g", "1.3 g"),
        (round_half_up_to, "1.24 g", "0.1 g", "1.2 g"),
        (round_down_to, "1.29 g", "0.1 g", "1.2 g"),
        (round_up_to, "1.21 g", "0.1 g", "1.3 g"),
        (round_up_to, "1.2 g", "0.1 g", "1.2 g"),
        (round_half_even_to, "1.0026 g", "5 mg", "1.005 g"),
        (round_half_even_to, "1/3 g", "1 mg", "0.333 g"),
    ],
)
def test_the_direction_is_in_the_name(
    rounding: Rounding, amount: str, step: str, rounded: str
) -> None:
    assert rounding(parse_amount(amount), parse_amount(step)) == parse_amount(rounded)


@pytest.mark.parametrize("step", [0, -1])
def test_a_step_is_above_zero(step: int) -> None:
    with pytest.raises(ValueError, match="above zero"):
        round_down_to(Amount(Fraction(1), "g"), Amount(Fraction(step), "g"))
