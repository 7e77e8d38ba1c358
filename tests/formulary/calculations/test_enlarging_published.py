"""Published formulas reduced and enlarged."""

from __future__ import annotations

from typing import Any

import pytest

from tests.formulary.calculations.published import Run, expect, published

CASES = {
    "scaling-002": (
        Run(
            "reducing-and-enlarging",
            {"amounts": "100 mL; 10 g", "made": "1000 mL", "target": "240 mL", "rest": "to volume"},
            {"peppermint_oil": "amount_1", "peppermint_powder": "amount_2"},
        ),
    ),
    "scaling-005": (
        Run(
            "reducing-and-enlarging",
            {
                "amounts": "1.25 g; 10 g; 3 g; 20 g; 250 g",
                "made": "100 pieces",
                "target": "75 pieces",
            },
            {
                "ketoprofen": "amount_1",
                "riboflavin": "amount_2",
                "caffeine": "amount_3",
                "sodium_bicarbonate": "amount_4",
                "silica_gel": "amount_5",
            },
        ),
    ),
    "scaling-006": (
        Run(
            "reducing-and-enlarging",
            {
                "amounts": "1.25 g; 10 g; 3 g; 20 g; 250 g",
                "made": "100 pieces",
                "target": "250 pieces",
            },
            {
                "ketoprofen": "amount_1",
                "riboflavin": "amount_2",
                "caffeine": "amount_3",
                "sodium_bicarbonate": "amount_4",
                "silica_gel": "amount_5",
            },
        ),
    ),
    "scaling-007": (
        Run(
            "parts-formula",
            {"parts": "3; 5; 10", "target": "75 g", "containers": "3"},
            {
                "hydrocortisone_2_5_percent_cream": "amount_1",
                "calamine": "amount_2",
                "petrolatum": "amount_3",
            },
        ),
    ),
    "scaling-009": (
        Run(
            "percentage-formula",
            {"percents": "6; 4", "target": "20 g"},
            {
                "benzoic_acid": "amount_1",
                "salicylic_acid": "amount_2",
                "emulsifying_ointment": "rest",
            },
        ),
    ),
    "scaling-011": (
        Run(
            "percentage-formula",
            {"percents": "12; 24", "target": "30 g"},
            {
                "coal_tar_solution": "amount_1",
                "hydrous_wool_fat": "amount_2",
                "yellow_soft_paraffin": "rest",
            },
        ),
    ),
    "scaling-014": (
        Run(
            "reducing-and-enlarging",
            {
                "amounts": "10 g; 15 mL",
                "made": "100 g",
                "target": "25 g",
                "rest": "to weight",
                "densities": "-; 0.88 g/mL",
            },
            {"zinc_oxide": "amount_1", "liquid_paraffin": "mass_2", "yellow_soft_paraffin": "rest"},
        ),
        Run(
            "mass-and-volume",
            {"volume": "15 mL", "density": "0.88"},
            {"liquid_paraffin_batch": "mass"},
        ),
    ),
}


@pytest.mark.parametrize("case", published("02-scaling"), ids=lambda case: case["id"])
def test_a_published_answer_comes_out(case: dict[str, Any]) -> None:
    expect(case, *CASES[case["id"]])
