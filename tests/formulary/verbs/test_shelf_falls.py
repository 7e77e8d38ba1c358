"""The shelf falls by all that a preparation takes, however a line is written."""

from __future__ import annotations

import pytest

from formulary.bench.events import VesselTared, WaterRestored
from formulary.desk import Desk
from formulary.errors import Refusal
from formulary.stock.container import StockContainer
from formulary.verbs.halt_lot import freeze_lot
from formulary.verbs.look_up_stock import holding_of
from formulary.verbs.restore_water import restore_water
from formulary.verbs.work_at_bench import record
from tests.helpers.desks import PIN
from tests.helpers.formulas import COARSE, a_formula, a_line, active, amount
from tests.helpers.stocked import grams
from tests.helpers.stocked_bench import WATER, Job, a_job, a_stocked_house, kept_well


def left(job: Job, container: StockContainer) -> object:
    return holding_of(job.desk.store, container).on_hand


def test_a_line_used_as_needed_falls_by_what_it_took(desk: Desk) -> None:
    lines = (active("Urea", "60 g"), a_line("Wax", "40 g"), a_line("Lye", "q.s. until pH 5"))
    job = a_job(a_stocked_house(desk), kept_well(a_formula(*lines))).started("100 g").cleared()
    job.weighs(2, "1.3 g")
    assert left(job, job.containers[2]) == grams(500) - amount("1.3 g")


@pytest.fixture
def job(desk: Desk) -> Job:
    """Clear the bench for 200 g in a vessel of known tare."""
    made = a_job(a_stocked_house(desk)).started().cleared()
    record(made.desk, made.lot, VesselTared("Beaker", amount("200 g"), COARSE.name))
    return made


def test_water_for_what_evaporated_comes_out_of_its_container(job: Job) -> None:
    water = job.containers[WATER]
    restore_water(job.desk, job.lot, WaterRestored("Beaker", amount("3 g"), water.number))
    assert left(job, water) == grams(497)
    assert job.work.state.vessels[0].water == (amount("3 g"),)


def test_water_from_the_tap_leaves_the_shelf_as_it_is(job: Job) -> None:
    restore_water(job.desk, job.lot, WaterRestored("Beaker", amount("3 g")))
    assert left(job, job.containers[WATER]) == grams(500)


def test_water_of_a_frozen_lot_isn_t_taken(job: Job) -> None:
    water = job.containers[WATER]
    freeze_lot(job.desk, water.lot_id, PIN, "cloudy")
    with pytest.raises(Refusal):
        restore_water(job.desk, job.lot, WaterRestored("Beaker", amount("3 g"), water.number))
    assert job.work.state.vessels[0].water == ()
