"""A lone Saturday pharmacist finishes the job, and looks at it again before going on."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest

from formulary.bench.events import BenchCleared, LineChecked, PlanChecked, Released
from formulary.bench.stages import Stage
from formulary.desk import Desk
from formulary.errors import Forbidden, Refusal
from formulary.verbs.hand_over_jar import hand_over_jars
from formulary.verbs.self_check import open_self_checks, self_check
from formulary.verbs.weigh_line import weigh_line
from formulary.verbs.work_at_bench import record
from tests.helpers.desks import ADA, BEN, MORNING, PIN, Stopped, at
from tests.helpers.formulas import amount
from tests.helpers.stocked_bench import UREA, Job, a_job, a_stocked_house, keep_ingredient

ALONE = "Saturday, nobody else is in"
LATER = Stopped(MORNING + timedelta(minutes=20))


@pytest.fixture
def job(desk: Desk) -> Job:
    """Let Ada make and release two jars alone, with an ingredient on high alert."""
    house = a_stocked_house(desk)
    keep_ingredient(house, "Urea", high_alert=True, double_check=True)
    job = a_job(house)
    job.desk = at(house, ADA)
    job.started("2 x 100 g")
    record(job.desk, job.lot, PlanChecked(), pin=PIN, alone_because=ALONE)
    record(job.desk, job.lot, BenchCleared(job.work.job.clearance))
    typed = job.reading(UREA, "120 g", manual=True)
    weigh_line(job.desk, job.lot, UREA, typed, pin=PIN, alone_because=ALONE)
    seen = LineChecked(UREA, job.containers[UREA].number, amount("120 g"))
    record(job.desk, job.lot, seen, pin=PIN, alone_because=ALONE)
    job.packed().awaiting_release()
    record(job.desk, job.lot, Released(), pin=PIN, alone_because=ALONE)
    return job


def test_a_lone_pharmacist_can_finish_the_job(job: Job) -> None:
    assert job.made.stage is Stage.RELEASED
    after = hand_over_jars(job.desk, job.lot, (1, 2), ward="Ward 3")
    assert after.preparation.stage is Stage.HANDED_OVER


def test_each_act_alone_shows_on_the_record_with_its_reason(job: Job) -> None:
    shown = [each.act.key for each in job.work.state.exemptions]
    assert shown == [
        "bench.alone.plan_checked",
        "bench.alone.line_weighed",
        "bench.alone.line_checked",
        "bench.alone.released",
    ]
    assert {each.because for each in job.work.state.exemptions} == {ALONE}


def test_what_was_done_alone_waits_for_a_second_look_of_the_same_person(job: Job) -> None:
    waiting = open_self_checks(job.desk.store, ADA.id)
    assert waiting[0].act.key == "bench.alone.plan_checked"
    assert len(waiting) == 4
    assert waiting[0].due == MORNING + timedelta(minutes=15)
    assert not open_self_checks(job.desk.store, BEN.id)


def test_it_is_looked_at_later_and_then_waits_no_more(job: Job) -> None:
    first = open_self_checks(job.desk.store, ADA.id)[0]
    with pytest.raises(Refusal) as caught:
        self_check(job.desk, job.lot, first.event, PIN)
    assert caught.value.message.key == "bench.self_check.too_soon"
    later = replace(job.desk, clock=LATER)
    with pytest.raises(Forbidden):
        self_check(at(later, BEN), job.lot, first.event, PIN)
    self_check(later, job.lot, first.event, PIN)
    assert len(open_self_checks(job.desk.store, ADA.id)) == 3
    assert job.work.state.exemptions[0].checked_at == LATER.at


def test_even_after_the_last_jar_is_gone(job: Job) -> None:
    hand_over_jars(job.desk, job.lot, (1, 2), ward="Ward 3")
    later = replace(job.desk, clock=LATER)
    for each in open_self_checks(job.desk.store, ADA.id):
        self_check(later, each.lot, each.event, PIN)
    assert not open_self_checks(job.desk.store, ADA.id)
