"""Worked examples as a pharmacist would type them; their inputs stand in the files as typed."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest

from tests.formulary.calculations.published import CLOSE, Run, expect, published

WORKED_BY_HAND = (
    "21-more-strengths",
    "22-more-mixtures",
    "23-more-weighing",
    "25-more-tonicity",
    "26-more-forms",
    "31-more-moulds",
    "32-more-capsules",
    "33-more-buffers",
    "34-more-doses",
    "35-more-reconstitution",
    "36-more-checks",
    "37-more-prices",
    "41-trade-examples",
)
CLOSE_TO_A_PRINTED_TABLE = Fraction(1, 200)
"""Strengths of ethanol are printed to one decimal, and gravities to three."""


def run(case: dict[str, Any], close: Fraction) -> None:
    results = {name: name for name in case["expected"]}
    expect(case, Run(case["calculation"], case["inputs"], results), close=close)


@pytest.mark.parametrize(
    "case",
    [each for name in WORKED_BY_HAND for each in published(name)],
    ids=lambda case: case["id"],
)
def test_a_worked_example_comes_out(case: dict[str, Any]) -> None:
    run(case, CLOSE)


@pytest.mark.parametrize(
    "case",
    [*published("24-more-ethanol"), *published("42-ethanol-density")],
    ids=lambda case: case["id"],
)
def test_printed_figures_of_ethanol_come_out(case: dict[str, Any]) -> None:
    run(case, CLOSE_TO_A_PRINTED_TABLE)
