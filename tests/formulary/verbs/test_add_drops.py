"""Drops counted in: the container is right for the line, and its book falls by what they are."""

from __future__ import annotations

import pytest

from formulary.desk import Desk
from formulary.errors import Refusal
from formulary.stock.moves import Cause, StockMove
from formulary.verbs.add_drops import add_drops
from formulary.verbs.look_up_stock import holding_of
from tests.helpers.desks import MORNING
from tests.helpers.formulas import a_formula, a_line, active, amount
from tests.helpers.stocked_bench import Job, a_job, a_stocked_house, keep_ingredient, kept_well

DROP = amount("25 mg")


@pytest.fixture
def job(desk: Desk) -> Job:
    """Start a mouthwash with four drops of oil, each of 25 mg."""
    house = a_stocked_house(desk)
    keep_ingredient(house, "Oil", drop=DROP)
    lines = active("Salt", "10 g"), a_line("Oil", "4 drops"), a_line("Water", "to 100 g")
    return a_job(house, kept_well(a_formula(*lines))).started("100 g").cleared()


def test_the_book_falls_by_what_the_drops_weigh(job: Job) -> None:
    number = job.containers[1].number
    after = add_drops(job.desk, job.lot, 1, 3, number)
    assert after.state.drops[0].counted == 3
    after = add_drops(job.desk, job.lot, 1, 1, number)
    assert after.state.drops[0].is_inside
    left = holding_of(job.desk.store, job.container(1)).on_hand
    assert left == amount("500 g") - DROP * 4
    assert job.container(1).opened_on == MORNING.date()
    moves = job.desk.store.having(StockMove, preparation_lot=job.lot)
    assert {each.cause for each in moves} == {Cause.WEIGHED}


def test_drops_from_another_container_are_a_hard_stop(job: Job) -> None:
    with pytest.raises(Refusal) as caught:
        add_drops(job.desk, job.lot, 1, 3, job.containers[0].number)
    assert caught.value.message.key == "stock.mismatch.ingredient"
    assert job.work.state.drops[0].counted == 0
    assert not job.desk.store.having(StockMove, preparation_lot=job.lot)
