"""More worked examples as a pharmacist would type them: moulds, capsules, buffers, doses, prices.

Their inputs stand in the files as typed, under the names of the calculation's inputs.
"""

from __future__ import annotations

from typing import Any

import pytest

from tests.formulary.calculations.published import Run, expect, published

WORKED_BY_HAND = (
    "31-more-moulds",
    "32-more-capsules",
    "33-more-buffers",
    "34-more-doses",
    "35-more-reconstitution",
    "36-more-checks",
    "37-more-prices",
)


@pytest.mark.parametrize(
    "case",
    [each for name in WORKED_BY_HAND for each in published(name)],
    ids=lambda case: case["id"],
)
def test_a_worked_example_comes_out(case: dict[str, Any]) -> None:
    results = {name: name for name in case["expected"]}
    expect(case, Run(case["calculation"], case["inputs"], results))
