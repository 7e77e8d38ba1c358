"""Published least weights and aliquots."""

from __future__ import annotations

from typing import Any

import pytest

from tests.formulary.calculations.published import Run, expect, published

CASES = {
    "weighing-001": (
        Run(
            "least-weighable-quantity",
            {"sensitivity": "6 mg", "weights": "50 mg"},
            {"error": "error_1"},
        ),
    ),
    "weighing-002": (
        Run(
            "least-weighable-quantity",
            {"sensitivity": "6 mg", "permitted_error": "5 %"},
            {"least_weighable": "least_weighable"},
        ),
    ),
    "weighing-004": (
        Run(
            "least-weighable-quantity",
            {"sensitivity": "10 mg", "permitted_error": "5"},
            {"least_weighable": "least_weighable"},
        ),
    ),
    "weighing-006": (
        Run(
            "least-weighable-quantity",
            {"sensitivity": "4 mg", "permitted_error": "5"},
            {"least_weighable": "least_weighable"},
        ),
    ),
    "weighing-007": (
        Run(
            "least-weighable-quantity",
            {"sensitivity": "6 mg", "permitted_error": "3"},
            {"least_weighable": "least_weighable"},
        ),
    ),
    "weighing-010": (
        Run(
            "powder-aliquot",
            {"needed": "10 mg", "multiple": "12", "aliquot": "120 mg"},
            {"drug_weighed": "drug", "diluent": "diluent", "total_mixture": "total"},
        ),
    ),
    "weighing-013": (
        Run(
            "solution-aliquot",
            {"needed": "20 mg", "drug": "200 mg", "solubility": "400", "stock": "100 mL"},
            {"minimum_solvent": "minimum_solvent", "aliquot": "aliquot"},
        ),
    ),
    "weighing-016": (
        Run(
            "minimum-weight-by-repeatability",
            {"standard_deviation": "0.00015 g"},
            {"minimum_weight": "minimum_weight"},
        ),
    ),
    "weighing-017": (
        Run(
            "minimum-weight-by-repeatability",
            {"readability": "0.1 mg", "standard_deviation": "0.03 mg"},
            {"s_used": "s_used", "minimum_weight": "minimum_weight"},
        ),
    ),
    "weighing-019": (
        Run(
            "least-weighable-quantity",
            {"sensitivity": "6 mg", "weights": "190 mg; 1900 mg"},
            {"error_190": "error_1", "error_1900": "error_2"},
        ),
    ),
}


@pytest.mark.parametrize("case", published("06-weighing"), ids=lambda case: case["id"])
def test_a_published_answer_comes_out(case: dict[str, Any]) -> None:
    expect(case, *CASES[case["id"]])
