"""Small words that change what is weighed: aa, ad, and none at all."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest

from formulary.quantity.amount import Concentration
from tests.check_values.reading import cases
from tests.helpers.formulas import a_formula, active, is_amount, required, scaled


@pytest.mark.parametrize("case", cases("formula_words"), ids=lambda case: case["id"])
def test_a_word_means_what_was_worked_out_by_hand(case: dict[str, Any]) -> None:
    content = a_formula(*(active(*line) for line in case["inputs"]["lines"]))
    plan = scaled(content, case["inputs"]["target"])
    for found, wanted in zip(required(plan), case["expected"]["lines"], strict=True):
        assert is_amount(found, wanted)
    percent = case["expected"].get("strength_percent")
    if percent is not None:
        strength = plan.strengths[0].actual
        assert isinstance(strength, Concentration)
        assert strength.unit == "% w/w"
        assert round(strength.number, 2) == Fraction(percent)
