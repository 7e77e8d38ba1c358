"""Last days of use that published rules give."""

from __future__ import annotations

from typing import Any

import pytest

from formulary.formula.periods import parse_period
from formulary.use_by import last_day
from tests.check_values.reading import cases


@pytest.mark.parametrize("case", cases("use_by"), ids=lambda case: case["id"])
def test_the_last_day_of_use_is_the_published_one(case: dict[str, Any]) -> None:
    period = parse_period(case["inputs"]["period"])
    assert last_day(case["inputs"]["made"], period).result == case["expected"]["use_by"]
