from __future__ import annotations

import pytest

from formulary.catalogue import Catalogue
from formulary.desk import Desk
from tests.ui.at_desk import plain, start
from ui.register.frozen_plan import read_plan


def test_a_plan_is_read_back_in_the_signs_of_the_house(desk: Desk) -> None:
    made = start(desk, "metronidazole gel", "1 x 60 g")
    plan = read_plan(made.plan, Catalogue("en", ","))
    assert plan is not None
    assert plain(plan.lines[0].as_written) == "0,75 % w/w"
    assert plain(plan.lines[0].required) == "0,45 g"
    assert plan.lines[0].working


def test_a_fraction_is_read_back_exactly(desk: Desk) -> None:
    made = start(desk, "zinc paste", "1 x 50 g")
    plan = read_plan(made.plan, Catalogue())
    assert plan is not None
    assert plain(plan.total) == "50 g"


@pytest.mark.parametrize("damaged", ["", "{}", "[]", "null", '{"lines": 3}', '{"to_make": {}}'])
def test_what_is_no_plan_is_none(damaged: str) -> None:
    assert read_plan(damaged, Catalogue()) is None
