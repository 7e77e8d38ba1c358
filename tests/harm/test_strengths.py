"""Ten, twenty and a thousand times too strong: clonidine, colchicine, selenium and their like."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest

from formulary.bench.events import ContainersFilled, MixtureMade
from formulary.bench.reading import Reading
from formulary.bench.weighing import Standing, standing
from formulary.desk import Desk
from formulary.finding import Severity
from formulary.formula.content import Content, Form, Role, Route
from formulary.formula.version import Version
from formulary.ingredient import UsualRange
from formulary.quantity.amount import Concentration
from formulary.verbs.issue_labels import issue_labels
from formulary.verbs.make_mixture import make_mixture
from formulary.verbs.move_version import put_in_use, send_to_review
from formulary.verbs.review_formula import review_version
from formulary.verbs.start_preparation import Order, start_preparation
from formulary.verbs.weigh_line import weigh_line
from formulary.verbs.work_at_bench import record
from formulary.verbs.write_version import write_version
from tests.harm.conftest import Stopped
from tests.helpers.desks import ADA, BEN, PIN, at, in_use
from tests.helpers.formulas import MIDDLE, a_formula, a_line, active, amount
from tests.helpers.kept import for_a_fortnight
from tests.helpers.stocked_bench import UREA, Job, a_job, keep_ingredient, kept_well

CLONIDINE = "Clonidine hydrochloride"


def liquid(strength: str, code: str = "CLO") -> Content:
    """Return an oral liquid of clonidine in a strength."""
    water = a_line("Purified water", "to 100 mL", Role.VEHICLE)
    made = kept_well(a_formula(active(CLONIDINE, strength), water), code=code)
    return replace(for_a_fortnight(made), form=Form.SOLUTION, route=Route.ORAL)


def keep_clonidine(desk: Desk) -> None:
    """Enter the house's usual range, invented around the strength that was ordered in 2001."""
    lowest, highest = (Concentration(Fraction(n, 10_000), "% w/v") for n in (5, 20))
    usual = UsualRange(lowest, highest, "House entry, invented for this test")
    keep_ingredient(at(desk, ADA), CLONIDINE, usual=usual)


def about_strength(desk: Desk, version: Version) -> list[tuple[str, Severity]]:
    """Return what the review says of a version's strength, and how loud it is."""
    found = review_version(desk, version).findings
    rules = ("usual_range", "last_made")
    return [
        (each.said.key.rpartition(".")[2], each.severity) for each in found if each.rule in rules
    ]


def test_10_1a_clonidine_2001_a_thousandfold_strength_is_told_from_the_usual_range(
    desk: Desk, stopped: Stopped
) -> None:
    keep_clonidine(desk)
    # Ordered 0.05 mg in 5 mL, found 9.78 mg/mL: about a thousand times the strength ordered.
    wrong = write_version(at(desk, ADA), liquid("9.78 mg/mL"))
    assert [loud for _, loud in about_strength(desk, wrong)] == [Severity.STOP]
    send_to_review(at(desk, ADA), wrong.id)
    said = stopped(lambda: put_in_use(at(desk, BEN), wrong.id, PIN))
    assert said.key == "review.stopped"
    right = write_version(at(desk, ADA), liquid("0.01 mg/mL", "CLO-2"))
    assert about_strength(desk, right) == []


def test_10_1b_canada_2023_milligrams_for_micrograms_are_told_from_the_last_batch(
    desk: Desk,
) -> None:
    keep_ingredient(at(desk, ADA), CLONIDINE)
    used = in_use(desk, liquid("10 micrograms/mL"))
    start_preparation(desk, used.id, Order("100 mL"))
    slip = write_version(at(desk, ADA), liquid("10 mg/mL"), formula_id=used.formula_id, reason="x")
    assert ("thousandfold_last", Severity.STOP) in about_strength(desk, slip)


@pytest.mark.parametrize("times", [5, 8, 10, 15])
def test_10_3_colchicine_relaxant_and_selenium_too_much_in_the_boat_is_no_batch(
    desk: Desk, stopped: Stopped, times: int
) -> None:
    # Colchicine 2007: 8 times; a muscle relaxant, New Brunswick 2015: 5; selenium 2009: 10 to 15.
    job = a_job(desk, each=5000).started("20 g").cleared()
    target = job.work.state.lines[UREA].target
    assert target is not None
    job.weighs(UREA, f"{int(target.to('g').number * times)} g")
    assert standing(job.work.state.lines[UREA]) is not Standing.INSIDE
    filled = ContainersFilled((amount("20 g"),))
    assert stopped(lambda: record(job.desk, job.lot, filled)).key.startswith("bench.")


def test_10_1c_barbuto_2020_a_label_isnt_printed_for_a_strength_that_isnt_in_the_jar(
    desk: Desk, stopped: Stopped, monkeypatch: pytest.MonkeyPatch
) -> None:
    # About 8 times the label: here the last gate is tried alone, as if all before had failed.
    job = a_job(desk).started("200 g").cleared().packed()
    eightfold = tuple(
        replace(each, readings=tuple(replace(r, amount=r.amount * 8) for r in each.readings))
        if each.position == UREA
        else each
        for each in job.work.state.lines
    )
    work = replace(job.work, state=replace(job.work.state, lines=eightfold))
    monkeypatch.setattr("formulary.verbs.issue_labels.at_bench", lambda *_: work)
    said = stopped(lambda: issue_labels(job.desk, job.lot, "100x50", lambda *_: None))
    assert said.key == "wording.strength_outside"


def test_10_1d_a_bad_trituration_is_weighed_against_its_own_plan(
    desk: Desk, stopped: Stopped
) -> None:
    # Clonidine 2023: a trituration more than ten times too strong.
    lines = (active("Urea", "0.1 % w/w"), a_line("Wax", "to 100 g"))
    job = a_job(desk, kept_well(a_formula(*lines))).started("100 g").cleared()
    plan = job.work.state.job.plan.lines[0].sub_plan
    assert plan is not None
    assert plan.taken is not None
    assert plan.made_with is not None
    drug, base = (each.number for each in job.containers)
    tenfold = MixtureMade(
        0,
        Reading(plan.taken * 10, MIDDLE.name, drug),
        Reading(plan.made_with, MIDDLE.name, base),
    )
    make_mixture(job.desk, job.lot, tenfold)
    state = job.work.state
    assert [each.what.key for each in state.open_deviations] == ["bench.deviation.mixture"]
    target = state.lines[0].target
    assert target is not None
    weigh = Reading(target, MIDDLE.name, drug)
    assert stopped(lambda: weigh_line(job.desk, job.lot, 0, weigh)).key == "bench.mixture.first"


def test_10_9_sub_potent_batches_the_lots_own_content_is_corrected_and_a_short_weight_told(
    desk: Desk, stopped: Stopped
) -> None:
    # Surveys of 2001 to 2010: 68 to 268 % of the label; of 2024: over a third had too little.
    job: Job = a_job(desk).started("200 g").cleared()
    target = job.work.state.lines[UREA].target
    assert target is not None
    job.weighs(UREA, f"{int(target.to('g').number * Fraction(68, 100))} g")
    filled = ContainersFilled((amount("200 g"),))
    assert stopped(lambda: record(job.desk, job.lot, filled)).key.startswith("bench.")


def test_10_13_tenfold_in_children_is_told_from_the_range(desk: Desk) -> None:
    # 252 reports in five years: calculation, decimal point, zeros.
    keep_clonidine(desk)
    tenfold = write_version(at(desk, ADA), liquid("0.2 mg/mL"))
    assert about_strength(desk, tenfold) == [("tenfold_range", Severity.REASON)]
