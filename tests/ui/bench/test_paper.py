"""A blank that was set aside is entered from paper: thing by thing, with time and person."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import pytest
from PySide6.QtCore import Qt

from formulary.bench.events import (
    LineWeighed,
    MixtureMade,
    PlanChecked,
    Planned,
    Reserved,
    Transcribed,
)
from formulary.bench.kept import KeptCheck
from formulary.bench.stages import Stage
from formulary.desk import Desk
from formulary.verbs.reserve_blanks import reserve_blanks
from formulary.verbs.start_preparation import Order
from formulary.verbs.work_at_bench import happened
from tests.helpers.desks import ADA, MORNING, Stopped
from tests.helpers.formulas import a_formula, a_line, active
from tests.helpers.stocked_bench import Job, a_job, kept_well
from tests.ui.at_desk import plain, unnamed
from tests.ui.bench.conftest import CTRL, SHIFT, AtPage
from tests.ui.papers.printing import accept_file, fake_printer, save_into, text_of
from ui.widgets.choice_box import ChoiceBox

Bring = Callable[[Job], AtPage]
DAY = "2026-03-10"


@pytest.fixture
def blank(desk: Desk) -> Job:
    """Return a formula in use with a blank of it set aside this morning."""
    job = a_job(desk)
    (made,) = reserve_blanks(desk, job.version.id, Order("200 g"), 1, "Power cuts")
    job.lot = made.lot
    return job


@pytest.fixture
def entering(beside: Bring, blank: Job) -> AtPage:
    """Return the page the next day, the blank marked as made the day before."""
    at = beside(blank)
    tomorrow = replace(blank.desk, clock=Stopped(MORNING + timedelta(days=1)))
    at.context.seat(tomorrow)
    at.enter(DAY)
    return at


def by(at: AtPage, person_id: str) -> None:
    """Choose who did it, by the paper."""
    choice = at.page.view.entries.inputs["paper_who"]
    assert isinstance(choice, ChoiceBox)
    choice.choose(person_id)


def said(at: AtPage) -> str:
    return "\n".join(sentence for _, sentence in at.page.view.shown.sentences)


def test_a_blank_stands_in_the_list_and_asks_for_its_day(beside: Bring, blank: Job) -> None:
    at = beside(blank)
    assert at.heading == "Enter the blank on paper"
    assert "blank on paper" in at.page.work_list.list.item(0).text()
    assert "Power cuts" in plain("\n".join(at.page.view.shown.notes))
    assert unnamed(at.page) == []


def test_a_day_that_cant_be_is_said_and_nothing_is_entered(beside: Bring, blank: Job) -> None:
    at = beside(blank)
    at.enter("2026-03-09")
    assert "10 Mar 2026" in plain(at.trouble)
    assert blank.work.state.stage is Stage.REQUESTED


def test_the_plan_is_signed_by_whoever_signed_the_paper(entering: AtPage) -> None:
    at, job = entering, entering.job
    assert f"worksheet {job.lot}" in plain(said(at))
    by(at, ADA.id)
    at.enter("09:10")
    assert at.asking.dialog is not None
    people = at.asking.dialog.person
    assert [people.itemData(row) for row in range(people.count())] == [ADA.id]
    at.sign()
    checked = happened(job.work.events)[-1]
    assert isinstance(checked.event, PlanChecked)
    assert checked.original is not None
    assert f"{checked.original.at:%Y-%m-%d %H:%M}" == f"{DAY} 09:10"


def offered(at: AtPage) -> list[str]:
    """Return who can be chosen, the first of them as the one who stands there."""
    choice = at.page.view.entries.inputs["paper_who"]
    assert isinstance(choice, ChoiceBox)
    names = [choice.itemText(row) for row in range(choice.count())]
    return [choice.currentText(), *names]


def test_nobody_is_proposed_as_checker_and_the_maker_only_as_alone(entering: AtPage) -> None:
    at = entering
    assert offered(at)[0] == "Choose who it was"
    assert "Cid Dane, working alone" in offered(at)
    assert "Cid Dane" not in offered(at)
    at.enter("09:10")
    assert "Choose who it was" in at.trouble
    assert at.asking.dialog is None


def test_the_checker_isnt_carried_over_to_what_follows_and_the_maker_is(entering: AtPage) -> None:
    at = entering
    by(at, ADA.id)
    at.enter("09:10")
    at.sign()
    assert (at.heading, offered(at)[0]) == ("Clear the bench", "Choose who it was")
    by(at, "p-cid")
    at.enter("09:15")
    while at.heading == "Clear the bench":
        at.press(Qt.Key.Key_Return)
    assert offered(at)[0] == "Cid Dane"


def test_without_a_time_nothing_is_entered(entering: AtPage) -> None:
    at = entering
    at.press(Qt.Key.Key_Return)
    assert at.asking.dialog is None
    at.enter("nine")
    assert at.asking.dialog is None
    assert entering.job.work.state.stage is Stage.PLANNED


def cleared(at: AtPage) -> None:
    """Enter the check of the plan and the cleared bench."""
    by(at, ADA.id)
    at.enter("09:10")
    at.sign()
    by(at, "p-cid")
    at.enter("09:15")
    while at.heading == "Clear the bench":
        at.press(Qt.Key.Key_Return)


def test_figures_are_entered_line_by_line_with_the_papers_time_and_person(
    entering: AtPage,
) -> None:
    at, job = entering, entering.job
    cleared(at)
    assert at.heading == "Urea"
    at.enter(job.containers[0].number)
    at.enter("09:20")
    at.enter("120")
    assert at.heading == "Wax"
    weighed = happened(job.work.events)[-1]
    assert isinstance(weighed.event, LineWeighed)
    assert weighed.event.reading.manual
    assert weighed.original is not None
    assert (weighed.original.person, f"{weighed.done_at:%H:%M}") == ("Cid Dane", "09:20")
    assert job.work.state.from_paper >= 4
    assert "on paper" in at.page.record.log.toPlainText()


def test_a_time_that_cant_be_is_typed_again_and_the_container_stands(entering: AtPage) -> None:
    at, job = entering, entering.job
    cleared(at)
    at.enter(job.containers[0].number)
    at.enter("06:20")
    assert "06:20" in at.trouble
    at.enter("09:20")
    assert at.trouble == ""
    at.enter("120")
    assert at.heading == "Wax"


def test_the_whole_paper_is_entered_up_to_the_filled_container(entering: AtPage) -> None:
    at, job = entering, entering.job
    cleared(at)
    for line, figure in enumerate(("120", "24", "6", "50")):
        at.enter(job.containers[line].number)
        at.enter(f"09:2{line}")
        at.enter(figure)
    assert at.heading == "Yield"
    at.enter("199")
    at.enter("09:40")
    at.enter("199")
    at.enter("09:45")
    assert job.work.state.stage is Stage.PACKED
    assert job.made.made_on.isoformat() == DAY
    later = [each for each in happened(job.work.events) if each.original is None]
    assert [type(each.event) for each in later] == [Reserved, Transcribed, Planned]


def test_a_mixture_is_entered_with_the_papers_time_and_person(beside: Bring, desk: Desk) -> None:
    lines = (active("Urea", "0.1 % w/w"), a_line("Wax", "to 100 g"))
    job = a_job(desk, kept_well(a_formula(*lines)))
    (made,) = reserve_blanks(desk, job.version.id, Order("100 g"), 1, "Power cuts")
    job.lot = made.lot
    at = beside(job)
    at.context.seat(replace(desk, clock=Stopped(MORNING + timedelta(days=1))))
    at.enter(DAY)
    cleared(at)
    assert at.heading == "Make the mixture for Urea"
    at.enter(job.containers[0].number)
    at.enter("09:31")
    for text in ("1", job.containers[1].number, "9"):
        at.enter(text)
    mixture = next(e for e in happened(job.work.events) if isinstance(e.event, MixtureMade))
    assert mixture.original is not None
    assert f"{mixture.done_at:%H:%M}" == "09:31"
    assert job.work.state.lines[0].mixture is not None


def test_a_time_before_the_lot_was_given_is_refused(entering: AtPage) -> None:
    by(entering, ADA.id)
    entering.enter("08:10")
    entering.sign()
    assert entering.job.work.state.stage is Stage.PLANNED


def test_a_balance_is_checked_as_the_paper_says_for_the_day_of_the_paper(
    beside: Bring, desk: Desk, blank: Job
) -> None:
    later = replace(desk, clock=Stopped(MORNING + timedelta(days=3)))
    at = beside(blank)
    at.context.seat(later)
    at.enter("2026-03-12")
    by(at, ADA.id)
    at.enter("09:10")
    at.sign()
    by(at, "p-cid")
    at.enter("09:15")
    while at.heading == "Clear the bench":
        at.press(Qt.Key.Key_Return)
    assert at.heading.endswith(": check it first")
    at.enter("200")
    at.enter("09:17")
    assert at.heading == "Urea"
    (kept,) = desk.store.having(KeptCheck, day="2026-03-12")
    assert (kept.check.person_id, kept.check.entered_by) == ("p-cid", "p-cid")
    assert f"{kept.check.at:%H:%M}" == "09:17"


def test_a_blank_is_printed_again_under_its_lot(
    beside: Bring, blank: Job, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    printer = fake_printer(monkeypatch, tmp_path)
    at = beside(blank)
    at.press(Qt.Key.Key_P, CTRL)
    assert blank.lot in printer.text


def test_the_complete_record_of_what_is_released_goes_to_the_printer(
    beside: Bring, job: Job, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    printer = fake_printer(monkeypatch, tmp_path)
    at = beside(job.cleared().released())
    assert at.page.papers.print.text() == "Print the complete record"
    at.press(Qt.Key.Key_P, CTRL)
    assert job.lot in printer.text
    assert "BenColeReleased" in printer.text


def test_the_record_so_far_is_saved_where_enter_says(
    beside: Bring, job: Job, tmp_path: Path
) -> None:
    save_into(tmp_path)
    job.cleared().weighs(0, "120 g")
    at = beside(job)
    at.press(Qt.Key.Key_P, CTRL | SHIFT)
    accept_file(at.qtbot)
    at.settle()
    assert "120g" in text_of(tmp_path / f"{job.lot}.pdf")


def test_what_isnt_from_paper_asks_for_no_time(beside: Bring, desk: Desk) -> None:
    at = beside(a_job(desk).started().cleared())
    assert set(at.page.view.entries.inputs) == {"container"}
