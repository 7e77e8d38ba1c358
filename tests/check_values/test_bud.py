"""Published last days of use, whichever number the day of making has."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest

from formulary.formula.content import Form, Period, Route, ShelfLife, Span
from formulary.formula.stability import Preservation, Preserved, WaterClass
from formulary.shelf_life.dating import Dated, dated
from formulary.shelf_life.materials import Ending, Sort
from formulary.use_by import Counting
from tests.check_values.reading import cases
from tests.formulary.shelf_life.cases import asked, kept, text

CASES = cases("bud")
COUNTINGS = {"day_1": Counting.DAY_1, "day_0": Counting.DAY_0}
EXPECTED = [
    pytest.param(case, name, expected["value"], id=f"{case['id']}-{name}")
    for case in CASES
    for name, expected in case["expected"].items()
]
LASTS_LONG = ShelfLife(Period(60, Span.MONTHS))
WORKS = Preservation(Preserved.YES, "as the case says")
FORMS = {
    "preserved aqueous": kept(Form.CREAM, WaterClass.AQUEOUS, WORKS),
    "non-aqueous oral liquid": kept(Form.SOLUTION, WaterClass.NON_AQUEOUS, route=Route.ORAL),
    "other non-aqueous dosage form": kept(Form.OINTMENT, WaterClass.NON_AQUEOUS),
}


def worked_out(case: dict[str, Any], counting: Counting | None) -> Dated:
    """Date a case by the set that its limit is from."""
    given = case["inputs"]
    content = FORMS[given.get("form", "other non-aqueous dosage form")]
    rules = "usp795-2014" if "limit_months" in given else "usp795-2023"
    expires = given.get("earliest_ingredient_expiry")
    ends = (Ending(Sort.LOT, "Oil", "L-1", date.fromisoformat(expires)),) if expires else ()
    made_on = date.fromisoformat(given["preparation_date"])
    return dated(asked(content, made_on, rules, counting=counting, materials=ends, own=LASTS_LONG))


@pytest.mark.parametrize(("case", "name", "value"), EXPECTED)
def test_the_last_day_of_use_is_the_published_one(
    case: dict[str, Any], name: str, value: str
) -> None:
    counting = COUNTINGS.get(name.removeprefix("use_by_if_day_of_preparation_is_"))
    assert worked_out(case, counting).use_by == date.fromisoformat(value)


def test_the_limits_of_the_cases_are_those_of_the_rule_sets() -> None:
    for case in CASES:
        given = case["inputs"]
        found = worked_out(case, None).candidates[0]
        number = given.get("limit_days", given.get("limit_months"))
        assert f": {number} " in text(found.said)


@pytest.mark.parametrize("case", CASES, ids=lambda case: case["id"])
def test_every_case_names_its_source_and_all_are_here(case: dict[str, Any]) -> None:
    assert case["source"].strip()
    assert len(CASES) == 5
