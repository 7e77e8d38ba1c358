"""Weighing: identity first, then the balance, then the figure; the shelf falls by as much."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from fractions import Fraction

import pytest

from formulary.bench.balance_checks import WeightRead
from formulary.bench.events import LineDecided, Way
from formulary.bench.reading import Taking
from formulary.bench.weighing import Standing, remaining, standing
from formulary.desk import Desk
from formulary.errors import BadText, Conflict, Forbidden, NotFound, Refusal
from formulary.house import Balance
from formulary.monograph import Monograph
from formulary.quantity.amount import Amount, Concentration
from formulary.signing import Meaning
from formulary.stock.container import StockContainer
from formulary.stock.expiry import Expiry
from formulary.stock.lot import Analysis, AssayBasis, Source
from formulary.stock.moves import Cause, StockMove
from formulary.verbs.attach_certificate import attach_certificate
from formulary.verbs.check_balance import check_balance
from formulary.verbs.decide_lot import accept_lot, reject_lot
from formulary.verbs.halt_lot import freeze_lot
from formulary.verbs.identify_container import identify_container
from formulary.verbs.look_up_stock import holding_of
from formulary.verbs.weigh_line import take_from, weigh_line
from formulary.verbs.work_at_bench import record
from tests.helpers.desks import ADA, BEN, CID, MORNING, PIN, Stopped, at
from tests.helpers.formulas import COARSE, MIDDLE, a_formula, a_line, active, amount
from tests.helpers.stocked import PDF, a_lot, received
from tests.helpers.stocked_bench import (
    OIL,
    UREA,
    WEIGHT,
    Job,
    a_job,
    a_stocked_house,
    check_all,
    keep_ingredient,
    kept_well,
    lot_of,
)

TENTH = Concentration(Fraction(10), "% w/w")
TWENTIETH = Concentration(Fraction(5), "% w/w")


@pytest.fixture
def job(desk: Desk) -> Job:
    """Start 200 g of the four lines (120, 24, 6 and 50 g) and clear the bench for them."""
    return a_job(a_stocked_house(desk)).started().cleared()


def refused(job: Job, line: int, weight: str, **more: object) -> str:
    """Return the key of the sentence that refuses a weighing, after which nothing has changed."""
    before, moves = job.work.state, job.desk.store.every(StockMove)
    with pytest.raises(Refusal) as caught:
        job.weighs(line, weight, **more)
    assert job.work.state == before
    assert job.desk.store.every(StockMove) == moves
    return caught.value.message.key


def on_hand(job: Job, container: StockContainer) -> Amount:
    """Return what the book says is in a container."""
    return holding_of(job.desk.store, container).on_hand


def test_the_book_falls_by_what_was_weighed(job: Job) -> None:
    after = job.weighs(OIL, "6 g")
    assert standing(after.state.lines[OIL]) is Standing.INSIDE
    assert on_hand(job, job.container(OIL)) == amount("494 g")
    move = job.desk.store.having(StockMove, preparation_lot=job.lot)[0]
    assert (move.cause, move.person, move.amount) == (Cause.WEIGHED, CID.name, amount("6 g") * -1)


def test_the_container_counts_as_opened_from_its_first_weighing(job: Job) -> None:
    job.weighs(OIL, "3 g")
    assert job.container(OIL).opened_on == MORNING.date()
    later = replace(job.desk, clock=Stopped(MORNING + timedelta(hours=2)))
    job.desk = later
    job.weighs(OIL, "3 g")
    assert job.container(OIL).opened_on == MORNING.date()


def test_what_was_weighed_is_kept_with_container_and_lot(job: Job) -> None:
    after = job.weighs(OIL, "6 g", typed_container=True, manual=True, raw="6.00 g")
    kept = after.state.lines[OIL].readings[0]
    assert kept.container == job.containers[OIL].number
    assert (kept.lot, kept.raw) == ("Oil-1", "6.00 g")
    assert kept.typed_container
    assert kept.manual


def test_a_container_of_something_else_is_a_hard_stop(job: Job) -> None:
    other = job.containers[UREA].number
    assert refused(job, OIL, "6 g", container=other) == "stock.mismatch.ingredient"


def test_a_number_that_no_container_has_is_said(job: Job) -> None:
    with pytest.raises(NotFound):
        job.weighs(OIL, "6 g", container="B-00099-2")
    with pytest.raises(BadText):
        job.weighs(OIL, "6 g", container="B-00002-2")


def unidentified(job: Job, line: int) -> StockContainer:
    """Return a container as it was received, of another lot of a line's ingredient."""
    ingredient_id = lot_of(job.desk, job.containers[line]).ingredient_id
    came = received(job.desk, a_lot("NEW-1", "lot-new", ingredient_id=ingredient_id))
    return came.containers[0]


def test_a_lot_in_quarantine_is_not_weighed_from(job: Job) -> None:
    number = unidentified(job, OIL).number
    assert refused(job, OIL, "6 g", container=number) == "stock.obstacle.quarantine"


def test_a_container_that_nobody_identified_is_not_weighed_from(job: Job) -> None:
    container = unidentified(job, OIL)
    attach_certificate(job.desk, container.lot_id, "new-1.pdf", PDF)
    accept_lot(at(job.desk, ADA), container.lot_id, PIN)
    said = refused(job, OIL, "6 g", container=container.number)
    assert said == "stock.obstacle.not_identified"


def test_a_container_whose_identity_failed_is_not_weighed_from(job: Job) -> None:
    identify_container(job.desk, job.containers[OIL].id, PIN, "melting point", passed=False)
    assert refused(job, OIL, "6 g") == "stock.obstacle.wrong_identity"


def test_a_rejected_lot_is_not_weighed_from(job: Job) -> None:
    reject_lot(at(job.desk, ADA), job.containers[OIL].lot_id, PIN, "rancid")
    assert refused(job, OIL, "6 g") == "stock.obstacle.rejected"


def test_a_frozen_lot_is_not_weighed_from(job: Job) -> None:
    freeze_lot(job.desk, job.containers[OIL].lot_id, PIN, "asked at the supplier's")
    assert refused(job, OIL, "6 g") == "stock.obstacle.frozen"


def test_two_benches_may_open_the_same_container_at_once(job: Job) -> None:
    held = holding_of(job.desk.store, job.containers[UREA])
    job.weighs(UREA, "20 g")
    with job.desk.writing("weigh_line") as writing:
        take_from(job.desk, writing, job.lot, held, amount("10 g"))
    assert on_hand(job, job.containers[UREA]) == amount("470 g")


def test_a_lot_frozen_while_somebody_weighed_stops_the_reading(job: Job) -> None:
    held = holding_of(job.desk.store, job.containers[UREA])
    freeze_lot(at(job.desk, ADA), held.lot.id, PIN, "the supplier called")
    with pytest.raises(Conflict), job.desk.writing("weigh_line") as writing:
        take_from(job.desk, writing, job.lot, held, amount("10 g"))
    assert on_hand(job, job.containers[UREA]) == amount("500 g")


def test_an_expired_lot_is_not_weighed_from(job: Job) -> None:
    number = job.another(OIL, "SHORT-1", expiry=Expiry(MORNING.date()))
    job.desk = replace(job.desk, clock=Stopped(MORNING + timedelta(days=1)))
    check_all(job.desk)
    assert refused(job, OIL, "6 g", container=number) == "stock.obstacle.expired"


def test_another_grade_or_kind_or_strength_is_a_hard_stop(desk: Desk) -> None:
    house = a_stocked_house(desk)
    keep_ingredient(house, "Dye", source=Source.CONCENTRATE, strength=TENTH)
    content = kept_well(a_formula(a_line("Dye", "5 g"), active("Urea", "95 g", grade="Ph. Eur.")))
    job = a_job(house, content).started().cleared()
    dilute = job.another(0, "DIL", strength=TWENTIETH)
    assert refused(job, 0, "10 g", container=dilute) == "stock.mismatch.strength"
    neat = job.another(0, "NEAT", source=Source.SUBSTANCE, strength=None)
    assert refused(job, 0, "10 g", container=neat) == "stock.mismatch.source"
    technical = job.another(1, "TECH", grade="technical")
    assert refused(job, 1, "190 g", container=technical) == "stock.mismatch.grade"


def with_balance(desk: Desk, **changes: object) -> None:
    """Change the middle balance in the house's settings."""
    house = desk.house
    changed: list[Balance] = [
        replace(each, **changes) if each.name == MIDDLE.name else each  # type: ignore[arg-type]
        for each in house.balances
    ]
    with at(desk, ADA).writing("save_house") as writing:
        writing.put(replace(house, balances=tuple(changed)))


def test_a_balance_that_nobody_checked_today_is_refused(job: Job) -> None:
    job.desk = replace(job.desk, clock=Stopped(MORNING + timedelta(days=1)))
    assert refused(job, OIL, "6 g") == "bench.balance.unchecked"


def test_a_balance_out_of_calibration_is_refused(job: Job) -> None:
    with_balance(job.desk, calibration_due=date(2026, 3, 9))
    assert refused(job, OIL, "6 g") == "bench.balance.calibration_overdue"
    with_balance(job.desk, calibration_due=None)
    assert refused(job, OIL, "6 g") == "bench.balance.not_calibrated"


def test_a_balance_that_failed_its_last_check_is_refused(job: Job) -> None:
    balance = next(each for each in job.desk.house.balances if each.name == MIDDLE.name)
    job.desk = replace(job.desk, clock=Stopped(MORNING + timedelta(hours=1)))
    check_balance(job.desk, balance, [WeightRead(WEIGHT, amount("200.4 g"))])
    assert refused(job, OIL, "6 g") == "bench.balance.failed"


def test_a_balance_is_kept_to_its_capacity_and_its_least_weight(job: Job) -> None:
    assert refused(job, OIL, "6 g", balance=COARSE.name) == "bench.weighing.below_minimum"
    with_balance(job.desk, capacity=amount("100 g"))
    assert refused(job, UREA, "120 g") == "bench.weighing.over_capacity"
    with pytest.raises(NotFound):
        job.weighs(OIL, "6 g", balance="Kitchen scale")


def test_a_book_that_held_less_is_put_right_and_never_stops_the_bench(desk: Desk) -> None:
    job = a_job(a_stocked_house(desk), each=100).started().cleared()
    after = job.weighs(UREA, "120 g")
    assert standing(after.state.lines[UREA]) is Standing.INSIDE
    assert on_hand(job, job.container(UREA)) == amount("0 g")
    moves = job.desk.store.having(StockMove, preparation_lot=job.lot)
    assert {(each.cause, each.amount) for each in moves} == {
        (Cause.DISCREPANCY, amount("20 g")),
        (Cause.WEIGHED, amount("120 g") * -1),
    }


def test_the_certificate_of_the_lot_at_hand_corrects_its_weight(job: Job) -> None:
    weak = job.another(UREA, "WEAK", analysis=Analysis(assay=Fraction(80)))
    after = job.weighs(UREA, "150 g", container=weak)
    line = after.state.lines[UREA]
    assert line.readings[0].factor == Fraction(100, 80)
    assert standing(line) is Standing.INSIDE


def test_a_content_that_falls_short_by_no_more_than_the_house_allows_is_not_corrected(
    job: Job,
) -> None:
    good = job.another(UREA, "GOOD", analysis=Analysis(assay=Fraction("98.5")))
    assert job.weighs(UREA, "120 g", container=good).state.lines[UREA].readings[0].factor == 1


def test_the_water_that_an_ingredients_formula_has_is_no_loss(desk: Desk) -> None:
    house = a_stocked_house(desk)
    known = Monograph(formula="C6H8O7.H2O")
    keep_ingredient(house, "Urea", synonyms=("Monohydrate",), monograph=known)
    job = a_job(house).started().cleared()
    wet = Analysis(Fraction("99.8"), AssayBasis.ANHYDROUS, Fraction("8.6"))
    lot = job.another(UREA, "HYDRATE", analysis=wet)
    assert job.weighs(UREA, "120 g", container=lot).state.lines[UREA].readings[0].factor == 1


def test_a_hydrate_without_its_formula_isn_t_corrected_for_its_own_water(desk: Desk) -> None:
    house = a_stocked_house(desk)
    keep_ingredient(house, "Urea", synonyms=("Monohydrate",))
    job = a_job(house).started().cleared()
    wet = Analysis(Fraction("99.8"), AssayBasis.ANHYDROUS, Fraction("8.6"))
    lot = job.another(UREA, "HYDRATE", analysis=wet)
    with pytest.raises(Refusal, match="hydrate_without_formula"):
        job.weighs(UREA, "120 g", container=lot)


def test_several_lots_for_one_line_count_each_by_its_own_content(job: Job) -> None:
    weak = job.another(UREA, "WEAK", analysis=Analysis(assay=Fraction(80)))
    after = job.weighs(UREA, "60 g")
    assert remaining(after.state.lines[UREA], Fraction(100, 80)).result == amount("75 g")
    after = job.weighs(UREA, "75 g", container=weak)
    line = after.state.lines[UREA]
    assert standing(line) is Standing.INSIDE
    assert [each.lot for each in line.portions] == ["Urea-1", "WEAK"]
    assert on_hand(job, job.container(UREA)) == amount("440 g")


def alert(desk: Desk) -> Job:
    """Return a job whose urea is on high alert."""
    house = a_stocked_house(desk)
    keep_ingredient(house, "Urea", high_alert=True)
    return a_job(house).started().cleared()


def test_a_typed_weight_of_a_high_alert_ingredient_needs_a_witness(desk: Desk) -> None:
    job = alert(desk)
    assert refused(job, UREA, "120 g", manual=True).startswith("bench.weighing.")
    by_herself = job.reading(UREA, "120 g", manual=True, witness_id=CID.id)
    with pytest.raises(Forbidden):
        weigh_line(job.desk, job.lot, UREA, by_herself, second_pin=PIN)
    seen = replace(by_herself, witness_id=BEN.id)
    after = weigh_line(job.desk, job.lot, UREA, seen, second_pin=PIN)
    assert after.state.lines[UREA].readings[0].witness_id == BEN.id


def test_a_witness_proves_it_with_a_pin(desk: Desk) -> None:
    job = alert(desk)
    seen = job.reading(UREA, "120 g", manual=True, witness_id=BEN.id)
    with pytest.raises(Forbidden) as caught:
        weigh_line(job.desk, job.lot, UREA, seen, second_pin="0000")
    assert caught.value.message.key == "people.wrong_pin"
    with pytest.raises(NotFound):
        weigh_line(job.desk, job.lot, UREA, replace(seen, witness_id="p-x"), second_pin=PIN)
    assert not job.work.state.lines[UREA].readings


def test_who_works_alone_weighs_it_for_a_signed_reason_and_looks_again_later(desk: Desk) -> None:
    job = alert(desk)
    typed = job.reading(UREA, "120 g", manual=True)
    after = weigh_line(
        job.desk, job.lot, UREA, typed, pin=PIN, alone_because="Saturday, nobody else is in"
    )
    assert [each.person_id for each in after.state.exemptions] == [CID.id]
    signature = after.events[-1].signature
    assert signature is not None
    assert signature.meaning is Meaning.MADE


def test_a_weight_from_the_balance_needs_no_witness(desk: Desk) -> None:
    job = alert(desk)
    assert standing(job.weighs(UREA, "120 g").state.lines[UREA]) is Standing.INSIDE


def test_what_went_to_waste_leaves_the_line_and_never_goes_back_on_the_shelf(job: Job) -> None:
    job.weighs(OIL, "7 g")
    decision = LineDecided(OIL, Way.WASTE, "too much in the boat")
    record(at(job.desk, ADA), job.lot, decision, pin=PIN)
    after = job.weighs(OIL, "6 g", taking=Taking.LEFT)
    line = after.state.lines[OIL]
    assert standing(line) is Standing.INSIDE
    assert line.portions[0].wasted == amount("1 g")
    assert on_hand(job, job.container(OIL)) == amount("493 g")
