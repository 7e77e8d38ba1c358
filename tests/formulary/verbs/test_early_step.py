"""A step that asks for a time isn't called done earlier without a signed reason on record."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from fractions import Fraction

import pytest

from formulary.bench.events import (
    Answer,
    Category,
    StepDone,
    TimerStarted,
    TimerStopped,
    VesselTared,
)
from formulary.bench.standing import standing
from formulary.catalogue import Catalogue
from formulary.desk import Desk
from formulary.errors import Forbidden, Refusal
from formulary.formula.content import Asked
from formulary.verbs.finish_step import finish_step
from formulary.verbs.work_at_bench import happened, record
from tests.helpers.at_bench import NINE, a_bench, a_step
from tests.helpers.desks import ADA, CID, MORNING, PIN, Stopped, at
from tests.helpers.formulas import COARSE, a_formula, active, amount
from tests.helpers.stocked_bench import Job, a_job, a_stocked_house, kept_well

STIRRED = a_formula(
    active("Urea", "100 g"), steps=(a_step("Stir", time="10 to 15 min"), a_step("Cool"))
)


@pytest.fixture
def job(desk: Desk) -> Job:
    """Return what was just weighed and is to be stirred for ten minutes."""
    made = a_job(a_stocked_house(desk), kept_well(STIRRED)).started("100 g").cleared()
    record(made.desk, made.lot, VesselTared("Bowl", amount("200 g"), COARSE.name))
    return made.weighs_all()


def after(job: Job, minutes: int) -> Desk:
    """Return Cid's desk so many minutes after the weighing."""
    return replace(at(job.desk, CID), clock=Stopped(MORNING + timedelta(minutes=minutes)))


@pytest.mark.parametrize("minutes", [0, 9])
def test_earlier_than_it_asks_is_refused_with_what_has_passed(job: Job, minutes: int) -> None:
    with pytest.raises(Refusal) as refused:
        finish_step(after(job, minutes), job.lot, StepDone(0))
    said = Catalogue().text(refused.value.message)
    assert f"10 min; {minutes} min have passed since it could begin." in said


def test_once_the_time_has_passed_no_timer_is_asked_for(job: Job) -> None:
    done = finish_step(after(job, 10), job.lot, StepDone(0)).state
    assert done.done_steps == {0}
    assert done.deviations == ()


def test_minutes_that_were_noted_count(job: Job) -> None:
    noted = (Answer(Asked.TIME, Fraction(12)),)
    assert finish_step(after(job, 0), job.lot, StepDone(0, noted)).state.done_steps == {0}


def test_an_exception_is_signed_by_a_pharmacist_and_stays_as_a_decided_deviation(job: Job) -> None:
    event = StepDone(0, exception="clear already")
    with pytest.raises(Forbidden):
        finish_step(after(job, 3), job.lot, event, pin=PIN)
    done = finish_step(at(after(job, 3), ADA), job.lot, event, pin=PIN).state
    (deviation,) = done.deviations
    assert (deviation.category, deviation.decision) == (Category.TIME, "clear already")
    assert deviation.decided_by == ADA.id
    assert done.lines[0].vessel == "Bowl"


def test_the_work_stays_with_who_did_it_and_the_exception_with_who_signed_it(job: Job) -> None:
    event = StepDone(0, exception="clear already")
    with pytest.raises(Forbidden):
        finish_step(after(job, 3), job.lot, event, pin=PIN, excepted_by=CID.id)
    done = finish_step(after(job, 3), job.lot, event, pin=PIN, excepted_by=ADA.id)
    kept = next(each for each in happened(done.events) if isinstance(each.event, StepDone))
    assert kept.person_id == CID.id
    assert kept.signature is not None
    assert kept.signature.person_id == ADA.id
    assert standing(done.events, done.job)[kept.number]
    assert [each.decided_by for each in done.state.deviations] == [ADA.id]


def test_whoever_signs_an_early_step_in_time_leaves_no_deviation(job: Job) -> None:
    event = StepDone(0, exception="to be sure")
    assert finish_step(at(after(job, 11), ADA), job.lot, event, pin=PIN).state.deviations == ()


def test_a_record_from_before_this_was_looked_at_stays_as_it_was() -> None:
    bench = a_bench(STIRRED).cleared()
    bench.weighs(0, "100 g")
    bench.now = NINE
    assert bench.does(StepDone(0)).done_steps == {0}


def test_a_running_timer_is_stopped_only_with_a_word(job: Job) -> None:
    record(after(job, 0), job.lot, TimerStarted("Stir", Fraction(10), 0))
    with pytest.raises(Refusal) as refused:
        record(after(job, 4), job.lot, TimerStopped(1))
    assert refused.value.message.key == "bench.timer.no_word"
    stopped = record(after(job, 4), job.lot, TimerStopped(1, "begun anew")).state
    assert stopped.open_timers == ()


def test_a_timer_whose_time_is_up_needs_no_word(job: Job) -> None:
    record(after(job, 0), job.lot, TimerStarted("Stir", Fraction(10), 0))
    assert record(after(job, 10), job.lot, TimerStopped(1)).state.open_timers == ()
