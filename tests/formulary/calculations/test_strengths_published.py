"""Published sums with per cents, ratios and parts per million."""

from __future__ import annotations

from typing import Any

import pytest

from tests.formulary.calculations.published import Run, expect, published

CASES = {
    "percent-001": (
        Run(
            "amount-and-strength",
            {"total": "240 g", "strength": "4 % w/w"},
            {"zinc_oxide": "active"},
        ),
    ),
    "percent-002": (
        Run("amount-and-strength", {"active": "20 g", "strength": "5 % w/v"}, {"volume": "total"}),
    ),
    "percent-003": (
        Run(
            "amount-and-strength",
            {"total": "120 mL", "strength": "2 % w/v"},
            {"ephedrine_sulfate": "active"},
        ),
    ),
    "percent-010": (
        Run(
            "amount-and-strength",
            {"total": "500 mL", "strength": "1:250 v/v"},
            {"solute": "active"},
        ),
    ),
    "percent-011": (
        Run("amount-and-strength", {"total": "120 g", "strength": "38 %"}, {"component": "active"}),
    ),
    "percent-012": (
        Run(
            "amount-and-strength", {"total": "20 mL", "strength": "0.4 % w/v"}, {"active": "active"}
        ),
    ),
    "percent-015": (
        Run(
            "strength-conversion",
            {"strength": "1 % w/w", "density": "1.004"},
            {"strength": "percent_wv"},
        ),
    ),
    "percent-016": (
        Run(
            "dissolving",
            {"active": "40 g", "solvent": "100 mL", "solvent_density": "1 g/mL"},
            {"strength": "strength"},
        ),
    ),
    "percent-020": (
        Run("strength-conversion", {"strength": "42 % w/v"}, {"concentration": "mg_per_ml"}),
    ),
    "percent-021": (
        Run("strength-conversion", {"strength": "1:2500 w/v"}, {"concentration": "mg_per_ml"}),
    ),
    "percent-024": (
        Run("strength-conversion", {"strength": "40 ppm w/v"}, {"concentration": "mg_per_ml"}),
    ),
    "percent-025": (
        Run(
            "amount-and-strength",
            {"total": "200 mL", "strength": "1:500 w/v"},
            {"sodium_chloride": "active"},
        ),
    ),
    "percent-028": (
        Run("amount-and-strength", {"active": "40 g", "strength": "5 % w/v"}, {"volume": "total"}),
    ),
    "percent-029": (
        Run(
            "amount-and-strength",
            {"total": "240 mL", "strength": "2.5 % v/v"},
            {"liquefied_phenol": "active"},
        ),
    ),
    "percent-030": (
        Run("amount-and-strength", {"active": "12 g", "total": "80 mL"}, {"strength": "strength"}),
    ),
    "percent-032": (
        Run("dissolving", {"active": "5 g", "strength": "10 % w/w"}, {"base": "solvent"}),
    ),
}


@pytest.mark.parametrize("case", published("01-percent"), ids=lambda case: case["id"])
def test_a_published_answer_comes_out(case: dict[str, Any]) -> None:
    expect(case, *CASES[case["id"]])
