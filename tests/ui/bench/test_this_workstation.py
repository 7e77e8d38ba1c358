"""The bench weighs on what stands here; what was begun elsewhere is brought here and goes on."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from PySide6.QtCore import Qt

from formulary.bench.stages import Stage
from formulary.workstation import BalanceHere, Workstation
from tests.helpers.desks import BEN, at
from tests.helpers.formulas import COARSE, MIDDLE
from tests.helpers.stocked_bench import UREA, WAX, Job
from tests.ui.bench.conftest import CTRL, SHIFT, AtPage
from ui.context import Context

Bring = Callable[[Job], AtPage]
HERE = Workstation("Bench by the window", (BalanceHere(MIDDLE.name),))


def sit_at(context: Context, here: Workstation) -> None:
    context.seat(context.desk.seated_at(here))


def test_where_the_planned_balance_stands_elsewhere_another_is_proposed(
    beside: Bring, job: Job, context: Context
) -> None:
    assert job.work.state.job.plan.lines[UREA].instrument == COARSE.name
    sit_at(context, HERE)
    at_page = beside(job.cleared())
    at_page.enter(job.containers[UREA].number)
    assert MIDDLE.name in at_page.page.view._notes.text()
    at_page.enter("120")
    (reading,) = job.work.state.lines[UREA].readings
    assert reading.balance == MIDDLE.name
    keys = [each.shortcut().toString() for each in at_page.page.view._others]
    assert "Ctrl+B" not in keys


def test_a_preparation_is_brought_to_another_workstation_by_keys_and_goes_on_there(
    beside: Bring, job: Job, context: Context
) -> None:
    job.cleared().weighs(UREA, "120 g")
    sit_at(context, HERE)
    at_page = beside(job)
    assert job.made.workstation == "bench 1"
    at_page.press(Qt.Key.Key_M, CTRL | SHIFT)
    at_page.press(Qt.Key.Key_Return)
    assert job.made.workstation == "Bench by the window"
    assert at_page.heading == "Wax"
    at_page.enter(job.containers[WAX].number)
    at_page.enter("24")
    weighed = job.work.state.lines[WAX].readings[0]
    assert weighed.balance == MIDDLE.name
    assert job.work.state.stage is Stage.IN_WORK


def test_a_bench_that_is_taken_takes_no_second_preparation(
    beside: Bring, job: Job, context: Context
) -> None:
    job.cleared()
    here = replace(at(job.desk, BEN), workstation="Bench by the window")
    other = Job(here, job.version, job.containers).started().cleared()
    sit_at(context, HERE)
    at_page = beside(job)
    at_page.press(Qt.Key.Key_M, CTRL | SHIFT)
    at_page.press(Qt.Key.Key_Return)
    assert job.made.workstation == "bench 1"
    assert other.lot in at_page.trouble
