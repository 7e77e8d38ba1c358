from __future__ import annotations

import pytest

from formulary.catalogue import Catalogue
from formulary.desk import Desk
from formulary.house import House
from tests.ui.at_desk import plain, start
from ui.register.frozen_plan import read_plan


def test_a_plan_is_read_back_in_the_signs_of_the_house(desk: Desk) -> None:
    made = start(desk, "metronidazole gel", "1 x 60 g")
    plan = read_plan(made.plan, Catalogue("en", ","), desk.house)
    assert plan is not None
    assert plain(plan.lines[0].as_written) == "0,75 % w/w"
    assert plain(plan.lines[0].required) == "0,45 g"
    assert plan.lines[0].working


def test_a_fraction_is_read_back_exactly(desk: Desk) -> None:
    made = start(desk, "zinc paste", "1 x 50 g")
    plan = read_plan(made.plan, Catalogue(), desk.house)
    assert plan is not None
    assert plain(plan.total) == "50 g"


def test_the_limits_are_the_readings_that_the_panel_says(desk: Desk) -> None:
    made = start(desk, "urea cream", "3 x 60 g")
    plan = read_plan(made.plan, Catalogue(), desk.house)
    assert plan is not None
    assert plain(plan.lines[0].tolerance) == "17.82 to 18.18 g"
    # 3 % of 7.2 g isn't a reading of this balance; both limits are inside it.
    assert plain(plan.lines[2].tolerance) == "6.99 to 7.41 g"


@pytest.mark.parametrize("damaged", ["", "{}", "[]", "null", '{"lines": 3}', '{"to_make": {}}'])
def test_what_is_no_plan_is_none(damaged: str) -> None:
    assert read_plan(damaged, Catalogue(), House("", "")) is None
