"""Two desks with one preparation: who comes too late is told who was quicker, and looks again."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import timedelta

from formulary.bench.events import Interrupted, PlanChecked
from formulary.bench.stages import Stage
from formulary.desk import Desk
from formulary.verbs.work_at_bench import record
from tests.helpers.desks import ADA, BEN, MORNING, PIN, Stopped, at
from tests.helpers.stocked_bench import UREA, Job
from tests.ui.at_desk import plain
from tests.ui.bench.conftest import AtPage

Bring = Callable[[Job], AtPage]


def the_other_desk(job: Job) -> Desk:
    """Return Ben's desk in the next room, five minutes later."""
    later = Stopped(MORNING + timedelta(minutes=5))
    return replace(at(job.desk, BEN), workstation="bench 2", clock=later)


def test_a_weighing_that_comes_too_late_says_who_was_quicker_and_keeps_what_was_typed(
    beside: Bring, job: Job
) -> None:
    at_page = beside(job.cleared())
    at_page.enter(job.containers[UREA].number)
    record(the_other_desk(job), job.lot, Interrupted("telephone"))
    at_page.enter("120")
    assert job.work.state.lines[UREA].readings == ()
    said = plain(at_page.trouble)
    assert f"Work on lot {job.lot} went on in the meantime, by Ben Cole, 10 Mar 2026" in said
    assert "Interrupting the work" in said
    assert at_page.page.course.doing.in_view.seen == job.work.state.events


def test_whoever_looked_again_goes_on(beside: Bring, job: Job) -> None:
    at_page = beside(job.cleared())
    at_page.enter(job.containers[UREA].number)
    job.weighs(UREA, "20 g")
    at_page.enter("100")
    assert len(job.work.state.lines[UREA].readings) == 1
    assert at_page.heading == "Urea"
    at_page.enter()
    assert len(job.work.state.lines[UREA].readings) == 2


def test_a_signature_that_comes_too_late_signs_nothing(beside: Bring, job: Job) -> None:
    at_page = beside(job)
    at_page.enter()
    record(at(the_other_desk(job), ADA), job.lot, PlanChecked(), pin=PIN)
    at_page.sign()
    assert job.work.state.stage is Stage.PLAN_CHECKED
    assert len(job.work.events) == 2
    assert "by Ada Berg" in at_page.trouble
    assert at_page.heading.startswith("Clear the bench")
