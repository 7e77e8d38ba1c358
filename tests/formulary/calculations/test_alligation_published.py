"""Published alligations, and one that cannot be mixed."""

from __future__ import annotations

from typing import Any

import pytest

from formulary.calculating.reading import calculate
from formulary.calculating.registry import calculation_named
from formulary.errors import Refusal
from tests.formulary.calculations.published import Run, expect, published
from tests.helpers.formulas import amount

IMPOSSIBLE = "alligation-020"
CASES = {
    "alligation-005": (
        Run(
            "mixture-strength",
            {"amounts": "5 mL; 10 mL", "strengths": "2; 4"},
            {"strength": "strength"},
        ),
    ),
    "alligation-006": (
        Run(
            "mixture-strength",
            {"amounts": "110 mL; 220 mL; 330 mL", "strengths": "35 %; 25 %; 20 %"},
            {"strength": "strength"},
        ),
    ),
    "alligation-007": (
        Run(
            "mixture-strength",
            {"amounts": "200 g; 50 g; 100 g", "strengths": "10 % w/w; 20 % w/w; 5 % w/w"},
            {"strength": "strength"},
        ),
    ),
    "alligation-011": (
        Run(
            "alligation",
            {"sources": "0.5 %; 0.1 %", "target_strength": "0.2 %", "total": "100 g"},
            {"high": "amount_1", "low": "amount_2"},
        ),
    ),
    "alligation-013": (
        Run(
            "alligation",
            {"sources": "30 %; 0 %", "target_strength": "12 %", "total": "60 mL"},
            {"high": "amount_1", "low": "amount_2"},
        ),
    ),
    "alligation-014": (
        Run(
            "alligation",
            {"sources": "75 %; 10 %", "target_strength": "30 %", "total": "500 mL"},
            {"high": "amount_1", "low": "amount_2"},
        ),
    ),
    "alligation-015": (
        Run(
            "alligation",
            {"sources": "95 %; 50 %", "target_strength": "70 %"},
            {"parts_high": "parts_1", "parts_low": "parts_2"},
        ),
    ),
    "alligation-018": (
        Run(
            "adding-to-reach-a-strength",
            {
                "amounts": "240 g",
                "strengths": "0.25 %",
                "target_strength": "1 %",
                "additive_strength": "2.5 %",
            },
            {"additive": "additive"},
        ),
    ),
    "alligation-019": (
        Run(
            "adding-to-reach-a-strength",
            {
                "amounts": "1200 mL",
                "strengths": "65 %",
                "target_strength": "45 %",
                "additive_strength": "0 %",
            },
            {"water": "additive"},
        ),
    ),
}


@pytest.mark.parametrize(
    "case",
    [case for case in published("05-alligation") if case["id"] != IMPOSSIBLE],
    ids=lambda case: case["id"],
)
def test_a_published_answer_comes_out(case: dict[str, Any]) -> None:
    expect(case, *CASES[case["id"]])


def test_what_cannot_be_mixed_is_refused_with_what_would_be_needed() -> None:
    case = next(each for each in published("05-alligation") if each["id"] == IMPOSSIBLE)
    typed = {
        "total": "120 g",
        "target_strength": "2.5 %",
        "adjustable": "1 %; 0 %",
        "fixed": "30 g",
        "fixed_strengths": "5 %",
    }
    with pytest.raises(Refusal) as refused:
        calculate(calculation_named("mixing-to-a-total"), typed)
    said = dict(refused.value.message.parameters)
    needed = case["expected"]["one_percent_ointment_that_would_be_needed"]["value"]
    assert refused.value.message.key == "fortifying.too_much"
    assert said["needed"] == amount(f"{needed} g")
    assert said["room"] == amount("90 g")
