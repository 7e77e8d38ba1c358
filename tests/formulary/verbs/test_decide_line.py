"""A line out of tolerance: what is open by vessel, shelf and price, and what is decided stays."""

from __future__ import annotations

from fractions import Fraction

import pytest

from formulary.bench.events import LineDecided, Surplus, VesselTared, Way
from formulary.bench.reading import Taking
from formulary.bench.stages import Stage
from formulary.bench.waste import surplus_wasted, wasted
from formulary.bench.weighing import remaining
from formulary.catalogue import Catalogue
from formulary.desk import Desk
from formulary.errors import Forbidden, Refusal
from formulary.quantity.money import Money
from formulary.stock.cost import UnitCost
from formulary.verbs.decide_line import (
    decide_line,
    doubts_of_making_good,
    made_good,
    ways_open,
)
from formulary.verbs.decide_lot import reject_lot
from formulary.verbs.work_at_bench import record
from tests.helpers.desks import ADA, PIN, at
from tests.helpers.formulas import amount, density
from tests.helpers.stocked_bench import (
    OIL,
    UREA,
    WATER,
    WAX,
    Job,
    a_job,
    a_stocked_house,
    four_lines,
)

FACTOR = Fraction("1.08")
REASON = "Six grams were read as the tare"


@pytest.fixture
def job(desk: Desk) -> Job:
    """Weigh 6.48 g for 6 g of an order of 3 x 60 g with 20 g excess; the water is to come."""
    job = a_job(a_stocked_house(desk)).started("3 x 60 g", "20 g").cleared()
    job.weighs(UREA, "120 g")
    job.weighs(WAX, "24 g")
    job.weighs(OIL, "6.48 g")
    return job


def ways(job: Job, line: int = OIL) -> set[Way]:
    """Return the ways that are open."""
    return {each.way for each in ways_open(job.desk, job.lot, line)}


def good(surplus: Surplus = Surplus.WASTE, factor: Fraction = FACTOR) -> LineDecided:
    """Return the decision to make good."""
    return LineDecided(OIL, Way.MAKE_GOOD, REASON, factor, surplus)


def test_the_batch_follows_its_overweighed_line(job: Job) -> None:
    made = made_good(job.desk, job.lot)
    assert made.factor == FACTOR
    assert [each.target for each in made.lines] == [
        amount(each) for each in ("129.6 g", "25.92 g", "6.48 g", "54 g")
    ]
    assert [each.to_add for each in made.lines] == [
        amount(each) for each in ("9.6 g", "1.92 g", "0 g", "54 g")
    ]
    assert (made.total, made.surplus) == (amount("216 g"), amount("36 g"))


def test_a_pharmacist_decides_and_the_lines_are_weighed_up(job: Job) -> None:
    assert {Way.WASTE, Way.MAKE_GOOD, Way.DISCARD} <= ways(job)
    after = decide_line(at(job.desk, ADA), job.lot, good(), PIN)
    lines = after.state.lines
    assert [remaining(each).result for each in lines] == [
        amount(each) for each in ("9.6 g", "1.92 g", "0 g", "54 g")
    ]
    assert [each.decision for each in after.state.deviations] == [REASON]


def test_a_technician_decides_nothing(job: Job) -> None:
    with pytest.raises(Forbidden):
        decide_line(job.desk, job.lot, good(), PIN)
    assert job.work.state.to_decide == (OIL,)


def test_the_factor_is_the_one_that_was_shown(job: Job) -> None:
    with pytest.raises(Refusal) as caught:
        decide_line(at(job.desk, ADA), job.lot, good(factor=Fraction("1.05")), PIN)
    assert caught.value.message.key == "bench.ways.other_factor"


def test_it_is_not_offered_where_the_shelf_has_too_little(job: Job) -> None:
    reject_lot(at(job.desk, ADA), job.containers[WATER].lot_id, PIN, "not clear")
    assert Way.MAKE_GOOD not in ways(job)
    with pytest.raises(Refusal) as caught:
        decide_line(at(job.desk, ADA), job.lot, good(), PIN)
    assert caught.value.message.key == "bench.ways.not_open"


def test_it_is_not_offered_where_the_vessel_holds_too_little(job: Job) -> None:
    record(job.desk, job.lot, VesselTared("Jar", amount("250 g"), holds=amount("210 g")))
    assert Way.MAKE_GOOD not in ways(job)
    assert [each.said.key for each in doubts_of_making_good(job.desk, job.lot)] == [
        "bench.make_good.vessel_small"
    ]
    record(job.desk, job.lot, VesselTared("Large jar", amount("300 g"), holds=amount("400 g")))
    assert Way.MAKE_GOOD in ways(job)
    assert doubts_of_making_good(job.desk, job.lot) == ()


def test_a_vessel_whose_size_nobody_said_is_looked_at_first(job: Job) -> None:
    record(job.desk, job.lot, VesselTared("Jar", amount("250 g"), holds=amount("210 g")))
    record(job.desk, job.lot, VesselTared("Beaker", amount("90 g")))
    assert Way.MAKE_GOOD in ways(job)
    (doubt,) = doubts_of_making_good(job.desk, job.lot)
    assert "Whether Beaker holds the batch made good isn't known" in Catalogue().text(doubt.said)


@pytest.mark.parametrize(("holds", "open_"), [("210 mL", True), ("190 mL", False)])
def test_a_vessel_known_by_volume_is_judged_by_the_preparations_density(
    desk: Desk, holds: str, *, open_: bool
) -> None:
    """216 g at 1.08 g/mL are 200 mL."""
    content = four_lines(density=density("1.08"))
    job = a_job(a_stocked_house(desk), content).started("3 x 60 g", "20 g").cleared()
    job.weighs(OIL, "6.48 g")
    record(job.desk, job.lot, VesselTared("Jar", amount("250 g"), holds=amount(holds)))
    assert (Way.MAKE_GOOD in ways(job)) is open_


def test_what_it_costs_is_said_where_every_price_is_on_file(desk: Desk) -> None:
    job = a_job(a_stocked_house(desk), cost=UnitCost(Money(Fraction(5), "GBP"), amount("100 g")))
    job.started("3 x 60 g", "20 g").cleared()
    job.weighs(OIL, "6.48 g")
    made = made_good(job.desk, job.lot)
    assert made.cost == Money(Fraction(16) * Fraction(5, 100), "GBP")
    (good,) = (each for each in ways_open(job.desk, job.lot, OIL) if each.way is Way.MAKE_GOOD)
    assert "What goes in more costs 0.80\u00a0GBP" in Catalogue().text(good.working[-1])


def test_without_a_price_nothing_is_said_about_the_cost(job: Job) -> None:
    assert made_good(job.desk, job.lot).cost is None


def finished(job: Job, surplus: Surplus, *nets: str) -> Job:
    """Make good and fill the jars."""
    decide_line(at(job.desk, ADA), job.lot, good(surplus), PIN)
    return job.packed(*nets)


def test_the_containers_stay_as_ordered_and_the_surplus_is_waste(job: Job) -> None:
    state = finished(job, Surplus.WASTE, "60 g", "60 g", "60 g").work.state
    assert len(state.jars) == 3
    assert surplus_wasted(state) == amount("36 g")
    assert not state.open_deviations


def test_an_extra_jar_is_filled_only_where_it_was_decided(job: Job) -> None:
    nets = ("60 g", "60 g", "60 g", "36 g")
    state = finished(job, Surplus.EXTRA_JAR, *nets).work.state
    assert [each.net for each in state.jars] == [amount(each) for each in nets]
    assert surplus_wasted(state) is None
    assert not state.open_deviations


def test_a_jar_more_than_was_decided_is_a_deviation(job: Job) -> None:
    state = finished(job, Surplus.WASTE, "60 g", "60 g", "60 g", "36 g").work.state
    assert len(state.open_deviations) == 1


def test_what_was_taken_out_of_a_boat_is_on_record(job: Job) -> None:
    decide_line(at(job.desk, ADA), job.lot, LineDecided(OIL, Way.WASTE, REASON), PIN)
    after = job.weighs(OIL, "6 g", taking=Taking.LEFT)
    gone = wasted(after.state)
    assert [(each.ingredient, each.amount) for each in gone] == [("Oil", amount("0.48 g"))]
    assert gone[0].container == job.containers[OIL].number


def test_discarding_ends_the_preparation(job: Job) -> None:
    decision = LineDecided(OIL, Way.DISCARD, REASON)
    after = decide_line(at(job.desk, ADA), job.lot, decision, PIN)
    assert after.preparation.stage is Stage.REJECTED
    assert after.state.fate == REASON


def test_a_line_below_its_band_is_weighed_on(desk: Desk) -> None:
    job = a_job(a_stocked_house(desk)).started().cleared()
    job.weighs(OIL, "5 g")
    assert Way.ADD in ways(job)
    assert Way.MAKE_GOOD not in ways(job)
