"""Lines are weighed one at a time: container, figure, verdict, next."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import Qt

from formulary.bench.stages import Stage
from formulary.desk import Desk
from tests.helpers.stocked_bench import OIL, UREA, WAX, Job, a_job
from tests.ui.at_desk import plain
from tests.ui.bench.conftest import CTRL, AtPage

Bring = Callable[[Job], AtPage]


def test_the_plan_is_signed_by_another_person_and_the_desk_stays_whose_it_was(
    beside: Bring, job: Job
) -> None:
    at = beside(job)
    assert at.heading == "Check the plan"
    at.press(Qt.Key.Key_Return)
    assert at.asking.dialog is not None
    assert at.asking.dialog.person.currentText().startswith("Ada Berg")
    at.sign()
    assert job.work.state.stage is Stage.PLAN_CHECKED
    assert at.context.desk.person.name == "Cid Dane"
    assert at.heading == "Clear the bench"


def test_a_line_is_weighed_by_a_scan_and_a_figure_and_the_next_one_follows(
    beside: Bring, job: Job
) -> None:
    at = beside(job.cleared())
    at.press(Qt.Key.Key_D, CTRL) if at.heading.startswith("Main vessel") else None
    assert at.heading == "Urea"
    at.enter(job.containers[UREA].number)
    at.enter("120.1")
    assert at.heading == "Wax"
    assert "Right: 120.1 g for 120 g" in plain(at.page.last.text())
    assert job.work.state.lines[UREA].readings[0].raw == "120.1"


def test_a_wrong_container_is_a_hard_stop_with_a_sentence(beside: Bring, job: Job) -> None:
    at = beside(job.cleared())
    at.enter(job.containers[WAX].number)
    assert "This container holds Wax, lot Wax-1, not Urea." in plain(at.trouble)
    assert job.work.state.staged == ()
    (newest, *_) = plain(at.page.record.log.toPlainText()).splitlines()
    assert f"Container {job.containers[WAX].number} not taken for Urea" in newest
    at.enter(job.containers[UREA].number)
    assert not at.trouble
    assert at.page.view.entries.inputs.keys() == {"weight"}


def test_a_stop_goes_when_what_was_typed_is_taken_back(beside: Bring, job: Job) -> None:
    at = beside(job.cleared())
    at.enter(job.containers[WAX].number)
    at.press(Qt.Key.Key_B)
    assert at.trouble
    at.press(Qt.Key.Key_Backspace)
    assert not at.trouble
    at.enter(job.containers[UREA].number)
    assert at.page.view.entries.inputs.keys() == {"weight"}


def test_what_is_too_little_asks_for_more_without_zeroing(beside: Bring, job: Job) -> None:
    at = beside(job.cleared())
    at.enter(job.containers[UREA].number)
    at.enter("118")
    assert at.heading == "Urea"
    at.enter("120")
    assert [str(each.amount.number) for each in job.work.state.lines[UREA].readings] == ["118", "2"]
    assert at.heading == "Wax"


def test_a_line_of_two_containers_counts_both(beside: Bring, job: Job) -> None:
    job.cleared()
    other = job.another(UREA, "UR-2")
    at = beside(job)
    at.enter(job.containers[UREA].number)
    at.enter("100")
    at.press(Qt.Key.Key_N, CTRL)
    at.enter(other)
    at.enter("120")
    assert len(job.work.state.lines[UREA].portions) == 2
    assert at.heading == "Wax"


def test_too_much_stops_the_work_until_a_pharmacist_decides(beside: Bring, job: Job) -> None:
    job.cleared().weighs(UREA, "120 g")
    job.weighs(WAX, "24 g")
    at = beside(job)
    at.enter(job.containers[OIL].number)
    at.enter("6.48")
    assert at.heading == "Oil: too much"
    ways = [each.text() for each in at.page.view.actions()]
    assert "Make good" in ways
    at.press(Qt.Key(Qt.Key.Key_1 + ways.index("Make good")))
    assert "1.08" in "\n".join(at.page.view.shown.notes)
    at.enter("the spoon slipped")
    at.sign()
    assert at.heading == "Urea"
    assert plain(at.page.view.figure.text()) == "9.6 g"


def test_limits_are_the_same_readings_in_words_and_on_the_scale(beside: Bring, desk: Desk) -> None:
    job = a_job(desk).started("77.7 g").cleared()
    at = beside(job)
    at.enter(job.containers[UREA].number)
    shown = at.page.view.shown
    assert shown.gauge is not None
    low, _, high = map(plain, shown.gauge.ends)
    assert any(
        low.removesuffix(" g") in plain(each) and high in plain(each) for each in shown.notes
    )
    step = job.desk.house.balances[0].readability.to("g").number
    for end in (shown.gauge.low, shown.gauge.high):
        assert (end / step).denominator == 1
    assert shown.gauge.low < shown.gauge.target < shown.gauge.high


def test_a_reading_keeps_the_decimals_that_were_typed(beside: Bring, job: Job) -> None:
    at = beside(job.cleared())
    at.enter(job.containers[UREA].number)
    at.enter("120.00")
    assert "Urea: 120.00 g. Cid Dane" in plain(at.page.record.log.toPlainText())
    assert "120.00 g" in plain(at.page.last.text())
