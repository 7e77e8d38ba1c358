"""Published sums with densities, and with acids by assay."""

from __future__ import annotations

from typing import Any

import pytest

from tests.formulary.calculations.published import Run, expect, published

CASES = {
    "density-001": (
        Run(
            "mass-and-volume",
            {"mass": "810 g", "volume": "1000 mL"},
            {"relative_density": "relative_density"},
        ),
    ),
    "density-002": (
        Run("mass-and-volume", {"mass": "45 g", "density": "1.25"}, {"volume": "volume"}),
    ),
    "density-003": (
        Run("mass-and-volume", {"volume": "240 mL", "density": "0.81"}, {"weight": "mass"}),
    ),
    "density-004": (
        Run(
            "reducing-and-enlarging",
            {
                "amounts": "14 g; 4 g; 8 mL",
                "made": "100 g",
                "target": "100 g",
                "rest": "to weight",
                "densities": "-; -; 0.85",
            },
            {"mineral_oil": "mass_3", "white_petrolatum": "rest"},
        ),
    ),
    "density-007": (
        Run("mass-and-volume", {"mass": "25 g", "density": "0.91 g/mL"}, {"volume": "volume"}),
    ),
    "density-010": (
        Run("mass-and-volume", {"mass": "23 g", "volume": "209 mL"}, {"density": "density"}),
    ),
    "density-015": (
        Run(
            "concentrated-acid",
            {"density": "1.84", "assay": "95 %", "pure": "98.1 g"},
            {"acid_per_mL": "acid_per_ml", "volume": "volume"},
        ),
    ),
    "density-016": (
        Run(
            "concentrated-acid",
            {
                "density": "1.19",
                "assay": "38 %",
                "target": "250 mL",
                "target_strength": "20 g/100 mL",
            },
            {"pure_acid": "pure", "acid_per_mL": "acid_per_ml", "volume": "volume"},
        ),
    ),
    "density-017": (
        Run(
            "concentrated-acid",
            {
                "density": "1.18",
                "assay": "36.5 %",
                "target": "1000 mL",
                "target_strength": "10 % w/v",
            },
            {"strength_wv": "strength_wv", "volume": "volume"},
        ),
    ),
    "density-020": (
        Run(
            "reducing-and-enlarging",
            {"amounts": "50 g", "factor": "4", "densities": "1.263"},
            {"volume": "volume_1"},
        ),
    ),
    "density-021": (
        Run(
            "parts-formula",
            {"parts": "100; 200; 1000", "target": "30 g", "densities": "0.84; -; -"},
            {"coal_tar_solution": "volume_1"},
        ),
    ),
}


@pytest.mark.parametrize("case", published("03-density"), ids=lambda case: case["id"])
def test_a_published_answer_comes_out(case: dict[str, Any]) -> None:
    expect(case, *CASES[case["id"]])
