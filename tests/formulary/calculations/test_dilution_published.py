"""Published dilutions."""

from __future__ import annotations

from typing import Any

import pytest

from tests.formulary.calculations.published import Run, expect, published

CASES = {
    "dilution-001": (
        Run(
            "dilution",
            {"stock_strength": "2 %", "target_strength": "0.02 %", "target": "120 mL"},
            {"stock": "stock"},
        ),
    ),
    "dilution-002": (
        Run(
            "dilution",
            {"stock_strength": "20 %", "target_strength": "14 %", "stock": "454 g"},
            {"total": "total"},
        ),
    ),
    "dilution-004": (
        Run(
            "dilution",
            {"stock_strength": "1:20 w/v", "stock": "50 mL", "target": "1000 mL"},
            {"strength": "strength", "one_part_in": "one_in"},
        ),
    ),
    "dilution-005": (
        Run(
            "dilution",
            {"stock_strength": "1:400", "target_strength": "1:2000", "target": "4 L"},
            {"stock": "stock"},
        ),
    ),
    "dilution-008": (
        Run(
            "dilution",
            {"stock_strength": "4 %", "target_strength": "2.5 %", "target": "100 mL"},
            {"stock": "stock", "vehicle": "diluent"},
        ),
    ),
    "dilution-009": (
        Run(
            "dilution",
            {"stock_strength": "10 %", "target_strength": "5 %", "target": "500 mL"},
            {"stock": "stock", "vehicle": "diluent"},
        ),
    ),
    "dilution-014": (
        Run(
            "dilution",
            {
                "stock_strength": "1 in 200 w/v",
                "target_strength": "1 in 4000 w/v",
                "stock": "500 mL",
            },
            {"water": "diluent"},
        ),
    ),
    "dilution-015": (
        Run(
            "dilution",
            {"stock_strength": "95 % v/v", "target_strength": "70 % v/v", "target": "100 mL"},
            {"stock": "stock"},
        ),
    ),
    "dilution-016": (
        Run(
            "dilution",
            {"stock_strength": "96 % v/v", "target_strength": "86 % v/v", "target": "200 mL"},
            {"stock": "stock"},
        ),
    ),
    "dilution-018": (
        Run(
            "dilution",
            {"stock_strength": "96.3 % v/v", "target_strength": "20 % v/v", "target": "1000 mL"},
            {"stock": "stock"},
        ),
    ),
}


@pytest.mark.parametrize("case", published("04-dilution"), ids=lambda case: case["id"])
def test_a_published_answer_comes_out(case: dict[str, Any]) -> None:
    expect(case, *CASES[case["id"]])
