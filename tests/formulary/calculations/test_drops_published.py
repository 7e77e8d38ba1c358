"""Published sums with drops."""

from __future__ import annotations

from typing import Any

import pytest

from tests.formulary.calculations.published import Run, expect, published

CASES = {
    "dropper-003": (
        Run(
            "standard-dropper-test",
            {"counted": "20", "runs": "1000 mg; 1040 mg; 1060 mg"},
            {"mean": "mean", "max_deviation": "max_deviation", "complies": "complies"},
        ),
    ),
    "dropper-004": (
        Run(
            "dropper-calibration",
            {"counted": "1", "runs": "50 mg", "density": "1"},
            {"drops_per_mL_mid": "per_ml"},
        ),
        Run(
            "dropper-calibration",
            {"counted": "1", "runs": "55 mg", "density": "1"},
            {"drops_per_mL_low": "per_ml"},
        ),
        Run(
            "dropper-calibration",
            {"counted": "1", "runs": "45 mg", "density": "1"},
            {"drops_per_mL_high": "per_ml"},
        ),
    ),
    "dropper-005": (
        Run(
            "drops-and-doses",
            {"active_in_drop": "4.286 mg", "strength": "90 mg/mL", "drops": "55"},
            {"volume": "volume"},
        ),
    ),
}


@pytest.mark.parametrize("case", published("16-dropper"), ids=lambda case: case["id"])
def test_a_published_answer_comes_out(case: dict[str, Any]) -> None:
    expect(case, *CASES[case["id"]])
