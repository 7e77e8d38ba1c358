"""Weighings that practitioners accept, and one that nobody does."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest

from formulary.formula.content import Role
from formulary.tolerance import Band, default_percent, judge
from tests.check_values.reading import cases
from tests.helpers.formulas import amount


@pytest.mark.parametrize("case", cases("tolerance"), ids=lambda case: case["id"])
def test_a_reading_is_judged_as_in_common_practice(case: dict[str, Any]) -> None:
    verdict = judge(
        amount(case["reading"]), Band(amount(case["target"]), Fraction(case["allowed_percent"]))
    )
    assert verdict.inside is case["accepted"]
    assert verdict.percent == Fraction(case["off_by_percent"])


@pytest.mark.parametrize("case", cases("tolerance"), ids=lambda case: case["id"])
def test_one_per_cent_is_what_an_active_is_allowed_by_default(case: dict[str, Any]) -> None:
    assert default_percent(Role.ACTIVE) == Fraction(case["allowed_percent"])


@pytest.mark.parametrize("name", ["scaling", "use_by", "formula_words", "tolerance"])
def test_every_check_value_names_its_source(name: str) -> None:
    assert all(case["source"].strip() for case in cases(name))
