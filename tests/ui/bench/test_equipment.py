"""The log of equipment at the bench: how each thing stands, and an entry by a few keys."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import timedelta
from fractions import Fraction

import pytest
from PySide6.QtCore import Qt

from formulary.bench.events import PlanChecked
from formulary.desk import Desk
from formulary.equipment import ROOM, EquipmentNote, Noted
from formulary.house import Instrument, InstrumentKind
from formulary.verbs.work_at_bench import record
from tests.helpers.desks import ADA, MORNING, PIN, Stopped, at
from tests.helpers.formulas import MIDDLE
from tests.helpers.stocked_bench import Job, a_job
from tests.ui.at_desk import plain, unnamed
from tests.ui.bench.conftest import CTRL, SHIFT, AtPage

Bring = Callable[[Job], AtPage]
METER = "pH meter, window"


@pytest.fixture
def desk(desk: Desk) -> Desk:
    """Return the desk in a house whose pH meter was due yesterday."""
    due = desk.today - timedelta(days=1)
    meter = Instrument(METER, InstrumentKind.PH_METER, due)
    with at(desk, ADA).writing("save_house") as writing:
        writing.put(replace(desk.house, instruments=(meter,)))
    return desk


def log(desk: Desk) -> list[EquipmentNote]:
    return list(desk.store.every(EquipmentNote))


def row(at_page: AtPage, number: int) -> list[str]:
    tree = at_page.page.equipment.list
    item = tree.topLevelItem(number)
    assert item is not None
    return [plain(item.text(column)) for column in range(tree.columnCount())]


def opened(beside: Bring, job: Job) -> AtPage:
    made = beside(job)
    made.press(Qt.Key.Key_G, CTRL)
    return made


def test_the_log_is_open_though_nothing_is_at_the_bench(beside: Bring, desk: Desk) -> None:
    made = opened(beside, a_job(desk))
    assert row(made, 0)[:2] == ["The room", "fit for use"]
    assert row(made, 1)[:2] == [METER, "not fit"]
    assert "1 day ago" in row(made, 1)[2]
    assert row(made, 2)[:2] == [MIDDLE.name, "fit for use"]
    assert unnamed(made.page) == []


def test_enter_on_the_room_and_enter_again_says_that_it_was_cleaned(
    beside: Bring, desk: Desk
) -> None:
    made = opened(beside, a_job(desk))
    made.press(Qt.Key.Key_Return)
    made.enter("alcohol 70 %")
    (note,) = log(desk)
    assert (note.subject, note.what, note.note) == (ROOM, Noted.CLEANED, "alcohol 70 %")
    assert row(made, 0)[3] == "10 Mar 2026 09:00"
    assert "alcohol 70 %" in plain(made.page.equipment.log.toPlainText())


def test_the_room_is_read_in_degrees_and_per_cent(beside: Bring, desk: Desk) -> None:
    made = opened(beside, a_job(desk))
    made.press(Qt.Key.Key_R, CTRL)
    made.enter()
    assert log(desk) == []
    assert made.context.say.history[-1].message.key == "equipment.nothing_read"
    form = made.page.equipment.question.form
    assert form is not None
    form.inputs["degrees"].setFocus()
    made.enter("21.5")
    (note,) = log(desk)
    assert (note.what, note.degrees, note.humidity) == (Noted.READ, Fraction(43, 2), None)


def test_a_balance_is_noted_as_calibrated_by_its_certificate(beside: Bring, desk: Desk) -> None:
    made = opened(beside, a_job(desk))
    made.press(Qt.Key.Key_Down)
    made.press(Qt.Key.Key_C, CTRL | SHIFT)
    made.enter("K-1234, by the maker")
    (note,) = log(desk)
    assert (note.what, note.note) == (Noted.CALIBRATED, "K-1234, by the maker")
    assert "calibrated; entered by Cid Dane" in plain(made.page.equipment.log.toPlainText())


def test_what_is_out_of_order_says_why_and_nothing_is_weighed_on_it(
    beside: Bring, desk: Desk
) -> None:
    job = a_job(desk).started().cleared()
    made = opened(beside, job)
    names = [row(made, each)[0] for each in range(4)]
    number = names.index(job.work.state.job.plan.lines[0].instrument)
    for _ in range(number):
        made.press(Qt.Key.Key_Down)
    made.press(Qt.Key.Key_F, CTRL | SHIFT)
    made.enter()
    assert log(desk) == []
    made.enter("drifts")
    assert row(made, number)[1] == "not fit"
    made.press(Qt.Key.Key_Escape)
    assert made.heading == "Urea"
    made.enter(job.containers[0].number)
    made.enter("120")
    assert "out of order" in made.trouble
    assert job.work.state.lines[0].readings == ()


def test_what_was_mended_is_fit_again(beside: Bring, desk: Desk) -> None:
    made = opened(beside, a_job(desk))
    for _ in range(2):
        made.press(Qt.Key.Key_Down)
    made.press(Qt.Key.Key_F, CTRL | SHIFT)
    made.enter("drifts")
    made.context.seat(replace(desk, clock=Stopped(MORNING + timedelta(hours=1))))
    made.press(Qt.Key.Key_M, CTRL | SHIFT)
    made.enter("new battery")
    assert row(made, 2)[1] == "fit for use"


def test_whoever_comes_back_to_the_page_goes_on_in_what_is_asked_for(
    beside: Bring, desk: Desk
) -> None:
    made = opened(beside, a_job(desk).started())
    made.press(Qt.Key.Key_D, CTRL)
    form = made.page.equipment.question.form
    assert form is not None
    made.focused().clearFocus()
    made.page.shown()
    made.settle()
    assert form.isAncestorOf(made.focused())


def test_escape_takes_the_question_back_then_goes_back_to_the_bench(
    beside: Bring, desk: Desk
) -> None:
    made = opened(beside, a_job(desk).started())
    made.press(Qt.Key.Key_D, CTRL)
    assert made.page.equipment.question.asking
    made.press(Qt.Key.Key_Escape)
    assert made.page.equipment.isVisible()
    made.press(Qt.Key.Key_Escape)
    assert made.page.view.isVisible()
    assert made.heading == "Check the plan"
    assert log(desk) == []


def test_after_a_preparation_cleaned_is_three_keys_away(beside: Bring, desk: Desk) -> None:
    job = a_job(desk).started().cleared().packed()
    made = beside(job)
    before = made.heading
    made.press(Qt.Key.Key_K, CTRL | SHIFT)
    assert made.heading == "Note that it was cleaned"
    made.press(Qt.Key.Key_Return)
    made.press(Qt.Key.Key_Return)
    (note,) = log(desk)
    assert (note.subject, note.what, note.person) == (ROOM, Noted.CLEANED, "Cid Dane")
    assert made.heading == before


def test_the_log_is_seen_when_the_bench_is_cleared(beside: Bring, desk: Desk) -> None:
    job = a_job(desk).started()
    record(at(desk, ADA), job.lot, PlanChecked(), pin=PIN)
    made = opened(beside, job)
    made.press(Qt.Key.Key_R, CTRL)
    made.enter("21")
    made.press(Qt.Key.Key_Escape)
    assert made.heading == "Clear the bench"
    assert "21 °C" in plain("\n".join(said for _, said in made.page.view.shown.sentences))
