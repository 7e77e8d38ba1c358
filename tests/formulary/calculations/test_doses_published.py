"""Published doses, volumes, supplies and body surfaces."""

from __future__ import annotations

from typing import Any

import pytest

from tests.formulary.calculations.published import Run, expect, published

VOLUME, SURFACE = "volume-per-dose", "body-surface-area"
CASES = {
    "dose-002": (Run("number-of-doses", {"total": "100 mL", "doses": "20"}, {"dose": "dose"}),),
    "dose-004": (
        Run(
            VOLUME,
            {"strength": "1 mg/mL", "volume": "2 mL", "dropper": "35 drops/2 mL"},
            {"drops_per_mL": "drops_per_mL"},
        ),
    ),
    "dose-006": (
        Run(
            VOLUME,
            {"strength": "30 mg/15 mL", "single_dose": "1.5 mg", "dropper": "20"},
            {"volume": "take", "drops": "drops"},
        ),
    ),
    "dose-008": (
        Run(VOLUME, {"strength": "105 mg/5 mL", "single_dose": "200 mg"}, {"volume": "take"}),
    ),
    "dose-010": (
        Run(VOLUME, {"strength": "200 mg/5 mL", "single_dose": "350 mg"}, {"volume": "take"}),
    ),
    "dose-011": (
        Run(VOLUME, {"strength": "0.05 mg/1 mL", "single_dose": "0.08 mg"}, {"volume": "take"}),
    ),
    "dose-015": (
        Run(
            "supply-for-days",
            {
                "first_dose": "500 mg",
                "dose": "250 mg",
                "doses_per_day": "3",
                "days": "10",
                "unit_holds": "250 mg",
            },
            {"capsules": "units"},
        ),
    ),
    "dose-018": (
        Run(
            SURFACE, {"height": "175 cm", "weight": "70 kg"}, {"body_surface_area": "body_surface"}
        ),
    ),
    "dose-019": (
        Run(
            SURFACE, {"height": "170 cm", "weight": "70 kg"}, {"body_surface_area": "body_surface"}
        ),
    ),
    "dose-020": (
        Run(
            "inches-and-pounds",
            {"inches": "42", "pounds": "55"},
            {"height": "height", "weight": "weight"},
        ),
        Run(
            SURFACE,
            {"height": "106.68 cm", "weight": "24.94756 kg"},
            {"body_surface_area": "body_surface"},
        ),
    ),
    "dose-021": (
        Run("dose-by-body", {"dose": "15 mg/m2", "body_surface": "0.74 m2"}, {"dose": "dose"}),
    ),
    "dose-023": (
        Run("dose-by-body", {"dose": "50 mg/m2", "body_surface": "0.5 m2"}, {"dose": "dose"}),
    ),
}
PUBLISHED = published("15-dose")


def test_every_published_case_is_run() -> None:
    assert {case["id"] for case in PUBLISHED} == CASES.keys()


@pytest.mark.parametrize("case", PUBLISHED, ids=lambda case: case["id"])
def test_a_published_case_comes_out_right(case: dict[str, Any]) -> None:
    expect(case, *CASES[case["id"]])
