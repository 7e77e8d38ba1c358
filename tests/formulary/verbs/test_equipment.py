"""Instruments with due dates, the log of cleaning and room, and people fit for a task."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from fractions import Fraction

import pytest

from formulary.bench.balance_checks import WeightRead
from formulary.bench.events import BenchCleared, Measured, PlanChecked
from formulary.bench.original import Original
from formulary.desk import Desk
from formulary.equipment import EquipmentNote, Noted
from formulary.errors import Forbidden, Refusal
from formulary.formula.content import Asked
from formulary.house import BenchTask, Instrument, InstrumentKind, Training
from formulary.verbs.check_balance import check_balance, checks_on
from formulary.verbs.note_equipment import note_equipment, surroundings
from formulary.verbs.read_equipment import read_equipment
from formulary.verbs.reserve_blanks import enter_blank, reserve_blanks
from formulary.verbs.start_preparation import Order
from formulary.verbs.work_at_bench import at_bench, record
from tests.helpers.desks import ADA, BEN, CID, MORNING, PIN, Stopped, a_desk, at, furnished
from tests.helpers.formulas import MIDDLE
from tests.helpers.memory_store import MemoryStore
from tests.helpers.stocked_bench import Job, a_job, a_stocked_house

METER = "pH meter, window"


@pytest.fixture
def desk() -> Desk:
    """Return Cid's desk in a stocked pharmacy."""
    return a_stocked_house(a_desk(furnished(MemoryStore()), CID))


def with_house(desk: Desk, **more: object) -> None:
    """Change the house."""
    with at(desk, ADA).writing("save_house") as writing:
        writing.put(replace(desk.house, **more))  # type: ignore[arg-type]  # fields by name


def meter(desk: Desk, days: int) -> None:
    """Put a pH meter on the list that is due so many days from today."""
    due = desk.today + timedelta(days=days)
    with_house(desk, instruments=(Instrument(METER, InstrumentKind.PH_METER, due),))


def measure(job: Job) -> None:
    """Read a pH in between."""
    record(job.desk, job.lot, Measured(Asked.PH, Fraction(6)))


def test_nothing_is_read_on_an_instrument_that_is_overdue_or_faulty(desk: Desk) -> None:
    job = a_job(desk).started().cleared()
    measure(job)
    meter(desk, 0)
    measure(job)
    meter(desk, -1)
    with pytest.raises(Refusal, match="overdue"):
        measure(job)
    meter(desk, 30)
    note_equipment(desk, METER, Noted.FAULTY, note="drifts")
    with pytest.raises(Refusal, match="faulty"):
        measure(job)
    note_equipment(
        replace(desk, clock=Stopped(MORNING + timedelta(minutes=5))), METER, Noted.MENDED
    )
    measure(job)


def test_cleaning_is_kept_with_who_and_when(desk: Desk) -> None:
    meter(desk, 30)
    note_equipment(desk, METER, Noted.CLEANED, note="ethanol 70 %")
    (kept,) = desk.store.every(EquipmentNote)
    assert (kept.subject, kept.person, kept.note) == (METER, "Cid Dane", "ethanol 70 %")
    with pytest.raises(Refusal, match="fault_unsaid"):
        note_equipment(desk, METER, Noted.FAULTY)


def test_a_calibration_is_kept_with_its_certificate(desk: Desk) -> None:
    meter(desk, 30)
    note_equipment(desk, METER, Noted.CALIBRATED, note="K-1234, by the maker")
    (kept,) = desk.store.every(EquipmentNote)
    assert (kept.what, kept.note) == (Noted.CALIBRATED, "K-1234, by the maker")
    with pytest.raises(Refusal, match="certificate_unsaid"):
        note_equipment(desk, METER, Noted.CALIBRATED)


def test_before_a_bench_is_cleared_what_was_made_there_and_the_room_are_seen(desk: Desk) -> None:
    first = a_job(desk).started()
    assert surroundings(desk, first.started().made).before == ""
    first.cleared()
    note_equipment(desk, "", Noted.READ, degrees=Fraction(21), humidity=Fraction(45))
    second = first.started()
    seen = surroundings(desk, second.made)
    assert seen.before
    assert seen.room is not None
    assert seen.room.degrees == 21


def test_who_isnt_trained_begins_only_with_somebody_fit_beside(desk: Desk) -> None:
    review = desk.today + timedelta(days=30)
    with_house(desk, trainings=(Training(BEN.id, BenchTask.SEMISOLIDS, review),))
    job = a_job(desk).started()
    record(at(desk, ADA), job.lot, PlanChecked(), pin=PIN)
    ticks = job.work.job.clearance
    with pytest.raises(Forbidden, match="untrained"):
        record(desk, job.lot, BenchCleared(ticks))
    unfit = BenchCleared(ticks, supervisor_id=ADA.id)
    with pytest.raises(Forbidden, match="untrained"):
        record(desk, job.lot, unfit, second_pin=PIN)
    record(desk, job.lot, BenchCleared(ticks, supervisor_id=BEN.id), second_pin=PIN)


def test_a_training_whose_review_is_overdue_no_longer_counts(desk: Desk) -> None:
    past = desk.today - timedelta(days=1)
    with_house(desk, trainings=(Training(CID.id, BenchTask.SEMISOLIDS, past),))
    job = a_job(desk).started()
    record(at(desk, ADA), job.lot, PlanChecked(), pin=PIN)
    with pytest.raises(Forbidden, match="review_overdue"):
        record(desk, job.lot, BenchCleared(job.work.job.clearance))


def test_a_balance_out_of_order_by_its_log_is_weighed_on_no_more(desk: Desk) -> None:
    job = a_job(desk).started().cleared()
    note_equipment(desk, MIDDLE.name, Noted.FAULTY, note="drifts")
    with pytest.raises(Refusal, match="faulty"):
        job.weighs(0, "120 g")
    later = replace(desk, clock=Stopped(MORNING + timedelta(minutes=5)))
    note_equipment(later, MIDDLE.name, Noted.MENDED)
    job.weighs(0, "120 g")


def test_the_log_says_of_each_thing_how_it_stands_today(desk: Desk) -> None:
    meter(desk, -1)
    note_equipment(desk, "", Noted.READ, degrees=Fraction(21))
    room, instrument, *balances = read_equipment(desk)
    assert (room.name, room.unfit) == ("", None)
    read = room.last(Noted.READ)
    assert read is not None
    assert read.degrees == 21
    assert room.last(Noted.CLEANED) is None
    assert instrument.unfit is not None
    assert instrument.due == desk.today - timedelta(days=1)
    assert [each.unfit for each in balances] == [None, None]


def test_on_paper_whoever_stands_there_has_to_be_fit_not_who_enters_it(desk: Desk) -> None:
    review = desk.today + timedelta(days=30)
    with_house(desk, trainings=(Training(CID.id, BenchTask.SEMISOLIDS, review),))
    job = a_job(desk)
    (blank,) = reserve_blanks(desk, job.version.id, Order("200 g"), 1, "Power cuts")
    enter_blank(desk, blank.lot, desk.today)
    now = desk.act().at
    checked = Original(now, ADA.id, ADA.name)
    record(at(desk, ADA), blank.lot, PlanChecked(), pin=PIN, original=checked)
    ticks = BenchCleared(job_clearance(desk, blank.lot))
    with pytest.raises(Forbidden, match="untrained"):
        record(desk, blank.lot, ticks, original=Original(now, BEN.id, BEN.name))
    record(at(desk, ADA), blank.lot, ticks, original=Original(now, CID.id, CID.name))


def job_clearance(desk: Desk, lot: str) -> tuple[str, ...]:
    """Return the list that is ticked before this preparation."""
    return at_bench(desk.store, lot).job.clearance


def test_a_check_of_a_balance_on_paper_is_for_its_day_and_never_for_one_to_come(
    desk: Desk,
) -> None:
    balance = desk.house.balances[0]
    read = [WeightRead(each, each.nominal) for each in balance.weights]
    later = replace(desk, clock=Stopped(MORNING + timedelta(days=2)))
    on_paper = Original(MORNING + timedelta(days=1), ADA.id, ADA.name)
    check = check_balance(later, balance, read, original=on_paper)
    assert (check.person_id, check.entered_by) == (ADA.id, CID.id)
    assert check in checks_on(desk.store, desk.today + timedelta(days=1))
    to_come = Original(MORNING + timedelta(days=3), ADA.id, ADA.name)
    with pytest.raises(Refusal, match="to_come"):
        check_balance(later, balance, read, original=to_come)
