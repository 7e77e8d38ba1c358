"""Instruments with due dates, the log of cleaning and room, and people fit for a task."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from fractions import Fraction

import pytest

from formulary.bench.events import BenchCleared, Measured, PlanChecked
from formulary.desk import Desk
from formulary.equipment import EquipmentNote, Noted
from formulary.errors import Forbidden, Refusal
from formulary.formula.content import Asked
from formulary.house import BenchTask, Instrument, InstrumentKind, Training
from formulary.verbs.note_equipment import note_equipment, surroundings
from formulary.verbs.work_at_bench import record
from tests.helpers.desks import ADA, BEN, CID, MORNING, PIN, Stopped, a_desk, at, furnished
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


def test_before_a_bench_is_cleared_what_was_made_there_and_the_room_are_seen(desk: Desk) -> None:
    first = a_job(desk).started()
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
