"""Published sums with millimoles and milliequivalents."""

from __future__ import annotations

from typing import Any

import pytest

from tests.formulary.calculations.published import Run, expect, published

AMOUNT, STRENGTH = "millimoles-and-milliequivalents", "electrolyte-strength"
CASES = {
    "electrolyte-002": Run(
        AMOUNT,
        {"amount": "250 mg", "molar_mass": "388.48", "ion": "K"},
        {"potassium": "equivalents"},
    ),
    "electrolyte-003": Run(
        STRENGTH,
        {"strength": "50 % w/v", "volume": "2 mL", "molar_mass": "246.47", "valence": "2"},
        {"dose": "mass", "milliequivalents": "equivalents"},
    ),
    "electrolyte-006": Run(
        STRENGTH,
        {"strength": "100 mEq/L", "molar_mass": "53.5", "ion": "NH4+"},
        {"strength": "percent"},
    ),
    "electrolyte-007": Run(
        STRENGTH,
        {"strength": "10 mg/100 mL", "molar_mass": "40", "valence": "2"},
        {"concentration": "equivalent_strength"},
    ),
    "electrolyte-008": Run(
        STRENGTH,
        {"strength": "10 % w/v", "volume": "15 mL", "molar_mass": "74.5", "valence": "1"},
        {"potassium_chloride": "equivalents"},
    ),
    "electrolyte-009": Run(
        STRENGTH,
        {"strength": "2.5 mEq/L", "molar_mass": "24", "valence": "2"},
        {"concentration": "mass_strength"},
    ),
    "electrolyte-011": Run(
        "ion-from-several-salts",
        {
            "masses": "500 mg; 500 mg; 500 mg",
            "molar_masses": "98; 100; 324",
            "ions_each": "1;1;3",
            "ion": "potassium",
        },
        {"potassium": "total_equivalents"},
    ),
    "electrolyte-012": Run(
        STRENGTH,
        {
            "strength": "0.9 % w/v",
            "molar_mass": "58.5",
            "ion": "sodium",
            "wanted": "2 mEq/kg",
            # 132 lb at the 2.2 lb/kg that the case states.
            "body_weight": "60 kg",
        },
        {"volume": "volume"},
    ),
    "electrolyte-018": Run(
        STRENGTH,
        {"strength": "9 g/L", "molar_mass": "58.5", "particles": "2"},
        {"osmolarity": "osmolarity"},
    ),
    "electrolyte-019": Run(
        STRENGTH,
        {"strength": "0.9 % w/v", "volume": "250 mL", "molar_mass": "58.5", "ion": "Na"},
        {"sodium": "equivalents"},
    ),
    "electrolyte-021": Run(
        "part-of-a-salt",
        {"molar_mass": "58.5", "part_molar_mass": "23", "whole": "600 mg"},
        {"sodium": "part"},
    ),
    "electrolyte-024": Run(
        AMOUNT, {"amount": "500 mg", "molar_mass": "110", "ions": "2"}, {"chloride": "ions"}
    ),
}
PUBLISHED = published("12-electrolyte")


def test_every_published_case_is_run() -> None:
    assert {case["id"] for case in PUBLISHED} == CASES.keys()


@pytest.mark.parametrize("case", PUBLISHED, ids=lambda case: case["id"])
def test_a_published_case_comes_out_right(case: dict[str, Any]) -> None:
    expect(case, CASES[case["id"]])
