"""Published blends of emulsifiers and required HLB of oil phases."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest

from formulary.quantity.writing import plain_number
from tests.formulary.calculations.published import Run, expect, published


def case_run(case: dict[str, Any]) -> Run:
    """Return the run of a case: these cases differ in their figures only."""
    typed, expected = case["inputs"], case["expected"]
    if "high_HLB" in typed:
        names = ("high", "low", "required")
        inputs = {f"{name}_hlb": written(typed[f"{name}_HLB"]) for name in names}
        return Run("emulsifier-ratio", inputs, {name: name for name in expected})
    if "required_HLB" in typed:
        inputs = {
            "amounts": listed(typed["oil_phase_percent"]),
            "required_hlbs": listed(typed["required_HLB"]),
        }
        return Run(
            "required-hlb", inputs, {"oil_phase_total": "total", "required_HLB": "required_hlb"}
        )
    amounts = typed.get("parts") or typed["percents"]
    inputs = {"amounts": listed(amounts), "hlbs": listed(typed["HLB"])}
    return Run("hlb-of-a-blend", inputs, {"blend_HLB": "hlb"})


def written(number: Fraction | int) -> str:
    return plain_number(Fraction(number))


def listed(numbers: list[Fraction | int]) -> str:
    return "; ".join(map(written, numbers))


@pytest.mark.parametrize("case", published("11-hlb"), ids=lambda case: case["id"])
def test_a_published_answer_comes_out(case: dict[str, Any]) -> None:
    expect(case, case_run(case))
