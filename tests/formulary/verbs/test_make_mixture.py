"""A part of a mixture: the shelf falls by all that the mixture took, and by nothing more."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest

from formulary.bench.event_text import event_of, event_text
from formulary.bench.events import MixtureMade
from formulary.bench.mixtures import mixture_of
from formulary.bench.reading import Reading
from formulary.bench.to_do import MakeMixture, to_do
from formulary.desk import Desk
from formulary.errors import Forbidden, Refusal
from formulary.quantity.amount import Amount
from formulary.stock.container import StockContainer
from formulary.stock.lot import Analysis
from formulary.verbs.look_up_stock import container_numbered, holding_of
from formulary.verbs.make_mixture import make_mixture
from formulary.verbs.trace_lot import trace_lot
from formulary.verbs.weigh_line import mixture_factor, weigh_line
from formulary.verbs.work_at_bench import record
from tests.helpers.desks import BEN, MORNING, PIN
from tests.helpers.formulas import COARSE, MIDDLE, a_formula, a_line, active, amount
from tests.helpers.stocked import grams
from tests.helpers.stocked_bench import Job, a_job, a_stocked_house, keep_ingredient, kept_well

DRUG, BASE = range(2)


@pytest.fixture
def job(desk: Desk) -> Job:
    """Clear the bench for 100 g of a cream with 0.1 g of a drug; 1 g is the least weighed."""
    lines = (active("Urea", "0.1 % w/w"), a_line("Wax", "to 100 g"))
    return a_job(a_stocked_house(desk), kept_well(a_formula(*lines))).started("100 g").cleared()


def made_of(job: Job, taken: Amount | None = None, diluent: Amount | None = None) -> MixtureMade:
    """Return the mixture to its plan, or of other amounts."""
    plan = job.work.state.job.plan.lines[DRUG].sub_plan
    assert plan is not None
    assert plan.taken is not None
    assert plan.made_with is not None
    drug, base = (each.number for each in job.containers)
    return MixtureMade(
        DRUG,
        Reading(taken or plan.taken, MIDDLE.name, drug),
        Reading(diluent or plan.made_with, MIDDLE.name, base),
    )


def weighs_aliquot(job: Job) -> None:
    target = job.work.state.lines[DRUG].target
    assert target is not None
    weigh_line(job.desk, job.lot, DRUG, Reading(target, MIDDLE.name))


def left(job: Job, container: StockContainer) -> Amount:
    return holding_of(job.desk.store, container).on_hand


def test_the_plan_says_what_the_mixture_takes(job: Job) -> None:
    plan = job.work.state.job.plan.lines[DRUG].sub_plan
    assert plan is not None
    assert plan.taken is not None
    assert plan.made_with is not None
    made = (plan.taken + plan.made_with) * (plan.contains / plan.taken)
    assert made.to("g") == plan.aliquot.to("g")


def test_the_mixture_comes_before_the_part_that_is_taken_of_it(job: Job) -> None:
    assert to_do(job.work.state, MORNING)[0] == MakeMixture(DRUG)
    with pytest.raises(Refusal) as refused:
        job.weighs(DRUG, "1 g")
    assert refused.value.message.key == "bench.mixture.first"
    assert left(job, job.containers[DRUG]) == grams(500)


def test_the_shelf_falls_by_all_that_went_into_it_and_not_again(job: Job) -> None:
    made = made_of(job)
    make_mixture(job.desk, job.lot, made)
    weighs_aliquot(job)
    assert left(job, job.containers[DRUG]) == grams(500) - made.taken.amount
    assert left(job, job.containers[BASE]) == grams(500) - made.diluent.amount
    assert job.work.state.lines[DRUG].readings[0].container == job.containers[DRUG].number


def pure_in_the_aliquot(job: Job, taken: Amount, diluent: Amount, assay: Fraction) -> Fraction:
    """Return the grams of pure drug in the aliquot, summed from what lies in the mortar."""
    plan = job.work.state.job.plan.lines[DRUG].sub_plan
    assert plan is not None
    mixture = taken.to("g").number + diluent.to("g").number
    return plan.aliquot.to("g").number * taken.to("g").number * assay / mixture


def test_of_another_lot_the_mixture_takes_what_gives_the_declared_content(job: Job) -> None:
    plan = job.work.state.job.plan.lines[DRUG].sub_plan
    assert plan is not None
    assert plan.taken is not None
    assert plan.made_with is not None
    planned = pure_in_the_aliquot(job, plan.taken, plan.made_with, Fraction(1))
    assert planned == Fraction("0.1")  # 0.1 % of 100 g
    weak = job.another(DRUG, "WEAK", analysis=Analysis(assay=Fraction(80)))
    lot = holding_of(job.desk.store, container_numbered(job.desk.store, weak)).lot
    factor = mixture_factor(job.desk, job.work, DRUG, lot)
    wanted = mixture_of(job.work.state.job.plan.lines[DRUG], factor)
    assert wanted is not None
    pure = pure_in_the_aliquot(job, wanted.taken, wanted.made_with, Fraction("0.8"))
    assert pure == planned
    whole = plan.taken + plan.made_with
    assert (wanted.taken + wanted.made_with).to("g") == whole.to("g")


def test_what_is_right_for_a_mixture_follows_the_lot_that_went_in(job: Job) -> None:
    weak = job.another(DRUG, "WEAK", analysis=Analysis(assay=Fraction(80)))
    as_planned = made_of(job)
    by_plan = replace(as_planned, taken=replace(as_planned.taken, container=weak))
    work = make_mixture(job.desk, job.lot, by_plan)
    assert [each.what.key for each in work.state.open_deviations] == ["bench.deviation.mixture"]
    # 1 g of a lot of 80 % is 0.8 g: 1.25 g hold what was planned, and 0.25 g less of the base.
    more = by_plan.taken.amount * Fraction(5, 4)
    less = by_plan.diluent.amount + by_plan.taken.amount - more
    right = replace(
        by_plan,
        taken=replace(by_plan.taken, amount=more),
        diluent=replace(by_plan.diluent, amount=less),
    )
    work = make_mixture(job.desk, job.lot, right)
    assert len(work.state.open_deviations) == 1
    mixture = work.state.lines[DRUG].mixture
    assert mixture is not None
    assert mixture.amount == more
    weighs_aliquot(job)


def test_a_mixture_from_before_lots_were_asked_for_still_counts_as_planned(job: Job) -> None:
    made = made_of(job)
    assert event_of(event_text(made)).factor is None  # type: ignore[union-attr]  # a mixture
    work = record(job.desk, job.lot, made)
    assert work.state.lines[DRUG].mixture == made.taken


def test_the_lot_leads_to_the_preparation_through_the_mixture(job: Job) -> None:
    make_mixture(job.desk, job.lot, made_of(job))
    forward, _ = trace_lot(job.desk.store, job.containers[DRUG].number)
    assert job.lot in {node.name for node in forward.preparations}


def test_one_that_went_wrong_is_waste_and_made_anew(job: Job) -> None:
    wrong = made_of(job, taken=amount("1.5 g"))
    work = make_mixture(job.desk, job.lot, wrong)
    assert left(job, job.containers[DRUG]) == grams(500) - amount("1.5 g")
    assert [each.what.key for each in work.state.open_deviations] == ["bench.deviation.mixture"]
    with pytest.raises(Refusal):
        weighs_aliquot(job)
    make_mixture(job.desk, job.lot, made_of(job))
    weighs_aliquot(job)


def test_both_containers_are_the_right_ones(job: Job) -> None:
    made = made_of(job)
    swapped = replace(
        made,
        taken=replace(made.taken, container=made.diluent.container),
        diluent=replace(made.diluent, container=made.taken.container),
    )
    with pytest.raises(Refusal) as refused:
        make_mixture(job.desk, job.lot, swapped)
    assert refused.value.message.key == "stock.mismatch.ingredient"
    unfit = replace(made, taken=replace(made.taken, balance=COARSE.name))
    with pytest.raises(Refusal):
        make_mixture(job.desk, job.lot, unfit)


def test_a_line_that_is_weighed_as_it_is_has_no_mixture(job: Job) -> None:
    made = made_of(job)
    drug, base = made.taken, made.diluent
    with pytest.raises(Refusal):
        make_mixture(job.desk, job.lot, MixtureMade(BASE, base, drug))


def test_of_a_controlled_substance_two_people_sign_it(desk: Desk) -> None:
    there = a_stocked_house(desk)
    keep_ingredient(there, "Urea", controlled=True)
    lines = (active("Urea", "0.1 % w/w"), a_line("Wax", "to 100 g"))
    job = a_job(there, kept_well(a_formula(*lines))).started("100 g").cleared()
    made = made_of(job)
    with pytest.raises((Refusal, Forbidden)):
        make_mixture(job.desk, job.lot, made)
    seen = replace(made, taken=replace(made.taken, witness_id=BEN.id))
    make_mixture(job.desk, job.lot, seen, pin=PIN, second_pin=PIN)
    assert left(job, job.containers[DRUG]) == grams(500) - made.taken.amount
