"""The bench leads through the work: balances, vessels, method, timers, troubles, release."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import timedelta
from fractions import Fraction
from itertools import accumulate

import pytest
from PySide6.QtCore import Qt

from formulary.bench.events import (
    Category,
    Held,
    LabelsPrinted,
    Recipient,
    StepDone,
    TimerStarted,
    VesselTared,
)
from formulary.bench.stages import Stage
from formulary.bench.to_do import WeighLine
from formulary.desk import Desk
from formulary.formula.content import Ask, Asked, Phase, QualityTest
from formulary.ingredient import Ingredient
from formulary.people import Identity
from formulary.verbs.finish_step import finish_step
from formulary.verbs.work_at_bench import at_bench, record
from tests.helpers.at_bench import a_step
from tests.helpers.desks import ADA, MORNING, Stopped
from tests.helpers.formulas import COARSE, a_formula, a_line, active, amount
from tests.helpers.stocked_bench import UREA, WAX, Job, a_job, four_lines, kept_well
from tests.ui.at_desk import plain, unnamed
from tests.ui.bench.conftest import CTRL, SHIFT, AtPage
from ui.bench.course import following
from ui.bench.scan_edit import ScanEdit
from ui.bench.timer_strip import TimerStrip, clock_of
from ui.context import Context
from ui.speech import Speech
from ui.widgets.choice_box import ChoiceBox

Bring = Callable[[Job], AtPage]


def stage_of(job: Job) -> Stage:
    """Return how far it has come."""
    return job.work.state.stage


TWO_PHASES = kept_well(
    a_formula(
        a_line("Wax", "40 g", phase="A"),
        a_line("Water", "60 g", phase="B"),
        phases=(Phase("A", "Fat phase"), Phase("B", "Water phase")),
        steps=(
            a_step("Melt", "A", minutes=Fraction(10)),
            a_step("Heat", "B"),
            a_step("Join", temperature="65 to 70 °C"),
        ),
    )
)


@pytest.fixture
def phases(desk: Desk) -> Job:
    """Return a preparation of two phases on a cleared bench."""
    return a_job(desk, TWO_PHASES).started("100 g").cleared()


def test_what_is_in_work_here_opens_by_itself_and_says_where_it_was(
    beside: Bring, job: Job
) -> None:
    job.cleared().weighs(UREA, "120 g")
    lot, job.lot = job.lot, ""
    at = beside(job)
    assert at.heading == "Wax"
    assert "Where it was: Urea: 120 g. Cid Dane" in plain(at.page.where.text())
    assert at.page.course.doing.lot == lot


def test_with_nothing_open_the_page_says_where_to_start_one(beside: Bring, desk: Desk) -> None:
    at = beside(a_job(desk))
    assert at.heading == "Nothing is at the bench"
    assert unnamed(at.page) == []


def test_before_anything_is_chosen_what_waits_is_counted(beside: Bring, desk: Desk) -> None:
    made = a_job(desk)
    for _ in range(2):
        made.started("1 x 50 g")
    lot, made.lot = made.lot, ""
    at = beside(made)
    assert at.heading == "Choose a preparation"
    assert list(at.page.view.shown.columns) == [("What waits", ["2 plans to check"])]
    assert at.page.record.isHidden()
    assert not at.page.labels.isEnabled()
    at.enter(lot)
    assert at.heading == "Check the plan"
    assert not at.page.record.isHidden()
    assert at.page.labels.isEnabled()


def test_a_lot_is_found_by_a_scan_of_a_jar(beside: Bring, job: Job) -> None:
    lot, job.lot = job.lot, ""
    at = beside(job)
    at.press(Qt.Key.Key_F, CTRL)
    at.enter(f"{lot}/1")
    assert at.heading == "Check the plan"


def test_a_balance_that_nobody_checked_is_checked_first(beside: Bring, job: Job) -> None:
    at_once = replace(job.desk, clock=Stopped(MORNING + timedelta(days=1)))
    job.cleared()
    job.desk = at_once
    at = beside(job)
    at.context.seat(at_once)
    at.page.shown()
    at.settle()
    assert at.heading.endswith(": check it first")
    at.enter("200")
    assert at.heading == "Urea"


@pytest.mark.parametrize(
    ("each", "before_enter", "by"),
    [(5, 5, "scanner"), (110, 110, "hand"), (5, 300, "hand")],
)
def test_a_number_is_scanned_only_where_each_key_and_enter_come_too_fast_for_a_hand(
    beside: Bring, job: Job, each: int, before_enter: int, by: str
) -> None:
    at = beside(job.cleared())
    field = at.page.view.entries.inputs["container"]
    assert isinstance(field, ScanEdit)
    number = job.containers[UREA].number
    gaps = [each] * (len(number) - 1)
    moments = accumulate((*gaps, before_enter), initial=5000)
    field.moment = lambda _: next(moments)
    at.enter(number)
    assert job.work.state.staged[0].typed is (by == "hand")


def test_a_figure_that_cant_be_read_is_said_at_its_entry(beside: Bring, job: Job) -> None:
    at = beside(job.cleared())
    at.enter(job.containers[UREA].number)
    at.enter("12o")
    assert job.work.state.lines[UREA].readings == ()
    assert at.heading == "Urea"


def test_the_gross_of_a_vessel_says_what_water_restores_it(beside: Bring, phases: Job) -> None:
    tare = VesselTared("Beaker 2", amount("200 g"), COARSE.name, phase="B")
    record(phases.desk, phases.lot, tare)
    phases.weighs(1, "60 g")
    finish_step(phases.desk, phases.lot, StepDone(1))
    at = beside(phases)
    at.press(Qt.Key.Key_W, CTRL)
    shown = plain(at.page.view._notes.text())
    assert "Beaker 2 shows 260 g where nothing has evaporated" in shown
    at.enter("257")
    at.press(Qt.Key.Key_Return)
    assert "Beaker 2: add 3 g of water" in plain(at.page.last_wrong.text())
    at.press(Qt.Key.Key_W, CTRL | SHIFT)
    assert "the balance must show 260 g" in plain(at.page.view._notes.text())


def test_the_vessel_of_a_phase_is_weighed_empty_and_takes_what_its_step_needs(
    beside: Bring, phases: Job
) -> None:
    at = beside(phases)
    assert at.heading == "Vessel for A: Fat phase"
    at.enter("250")
    at.enter(phases.containers[0].number)
    at.enter("40")
    assert at.page.view.accent.text() == "Start the timer, 10 min"
    at.press(Qt.Key.Key_Return)
    assert at.heading == "Vessel for B: Water phase"
    assert len(phases.work.state.open_timers) == 1


def test_as_a_step_ends_a_vessel_that_nobody_weighed_is_named(beside: Bring, phases: Job) -> None:
    tare = VesselTared("Beaker 2", amount("200 g"), COARSE.name, phase="B")
    record(phases.desk, phases.lot, tare)
    phases.weighs(1, "60 g")
    at = beside(phases)
    while not at.heading.startswith("Step 2"):
        at.press(Qt.Key.Key_PageDown)
    at.press(Qt.Key.Key_Return)
    assert "Not weighed since something went in: Beaker 2." in plain(at.page.where.text())
    at.press(Qt.Key.Key_W, CTRL)
    at.enter("257")
    at.press(Qt.Key.Key_Return)
    assert at.page.where.text() == ""


def test_another_lane_is_gone_on_with_once_it_was_chosen(beside: Bring, phases: Job) -> None:
    at = beside(phases)
    for _ in range(3):
        at.press(Qt.Key.Key_PageDown)
    assert at.heading == "Water"
    at.enter(phases.containers[1].number)
    at.enter("60")
    assert at.heading == "Step 2 of 3, phase B: Water phase"
    at.press(Qt.Key.Key_PageUp)
    assert at.heading == "Wax"


def test_what_was_passed_over_comes_back_when_nothing_else_is_left() -> None:
    assert following((), None, ()) is None
    one, two, three = WeighLine(1), WeighLine(2), WeighLine(3)
    assert following((one, two), two, (one, three)) == three
    assert following((one, two), two, (one,)) == one


def test_a_timer_shows_what_is_left_and_that_its_time_is_up(beside: Bring, phases: Job) -> None:
    at = beside(phases)
    at.press(Qt.Key.Key_T, CTRL | SHIFT)
    at.enter("5")
    strip = TimerStrip(at.context)
    at.qtbot.addWidget(strip)
    at.settle()
    assert strip.said() == [f"Start a timer: 5:00 left · {phases.lot}"]
    at.context.seat(replace(at.context.desk, clock=Stopped(MORNING + timedelta(minutes=6))))
    at.qtbot.waitUntil(lambda: "time is up" in strip.said()[0])
    assert "1:00" in strip.said()[0]


def test_a_timer_runs_on_in_view_after_packing_until_its_time_is_up(
    beside: Bring, desk: Desk
) -> None:
    job = a_job(desk).started().cleared()
    record(desk, job.lot, TimerStarted("Cool", Fraction(30)))
    at = beside(job.packed())
    strip = TimerStrip(at.context)
    at.qtbot.addWidget(strip)
    at.settle()
    assert strip.said() == [f"Cool: 30:00 left · {job.lot}"]
    at.context.seat(replace(at.context.desk, clock=Stopped(MORNING + timedelta(minutes=31))))
    at.context.opened.emit()
    at.settle()
    assert strip.said() == []


def test_a_clock_counts_hours_only_where_there_are_any() -> None:
    assert clock_of(timedelta(seconds=65)) == "1:05"
    assert clock_of(timedelta(hours=1, seconds=5)) == "1:00:05"
    assert clock_of(timedelta(seconds=-5)) == "0:00"


def test_a_step_asks_for_figures_and_for_somebody_beside(beside: Bring, desk: Desk) -> None:
    asks = (
        Ask(Asked.TEMPERATURE, "", Fraction(20), Fraction(30)),
        Ask(Asked.SECOND_PERSON, "Somebody looks"),
    )
    content = kept_well(a_formula(active("Urea", "100 g"), steps=(a_step("Mix", asks=asks),)))
    job = a_job(desk, content).started("100 g").cleared()
    job.weighs_all()
    at = beside(job)
    at.enter("25")
    at.sign()
    (done,) = at_bench(desk.store, job.lot).state.steps
    assert [each.what for each in done.answers] == [Asked.TEMPERATURE, Asked.SECOND_PERSON]
    assert done.answers[1].person_id == "p-ada"


def test_a_line_that_must_be_checked_is_read_afresh_by_another_person(
    beside: Bring, desk: Desk
) -> None:
    with desk.writing("save_ingredient") as writing:
        writing.put(Ingredient("i-urea", "Urea", double_check=True))
    job = a_job(desk).started().cleared()
    job.weighs(UREA, "120 g")
    at = beside(job)
    assert at.heading == "Urea: second look"
    at.enter(job.containers[UREA].number)
    at.enter("120")
    at.sign()
    assert job.work.state.lines[UREA].checked_by == "p-ada"
    assert at.heading == "Wax"


def test_a_typed_figure_of_a_high_alert_ingredient_is_witnessed(beside: Bring, desk: Desk) -> None:
    with desk.writing("save_ingredient") as writing:
        writing.put(Ingredient("i-urea", "Urea", high_alert=True))
    job = a_job(desk).started().cleared()
    at = beside(job)
    at.enter(job.containers[UREA].number)
    at.enter("120")
    at.sign()
    assert job.work.state.lines[UREA].readings[0].witness_id == "p-ada"


def test_what_is_taken_to_waste_leaves_the_boat(beside: Bring, job: Job) -> None:
    at = beside(job.cleared())
    at.enter(job.containers[UREA].number)
    at.enter("130")
    ways = [each.text() for each in at.page.view.actions()]
    at.press(Qt.Key(Qt.Key.Key_1 + ways.index("Remove to waste and weigh again")))
    at.enter("too much")
    at.sign()
    assert at.heading == "Urea: take some to waste"
    at.enter("120")
    assert at.heading == "Wax"


def test_work_is_held_and_goes_on_when_a_pharmacist_lifts_it(beside: Bring, job: Job) -> None:
    at = beside(job.cleared())
    at.press(Qt.Key.Key_H, CTRL | SHIFT)
    at.enter("asked the prescriber")
    assert at.heading == "On hold"
    at.enter("answered")
    at.sign()
    assert at.heading == "Urea"


def test_what_is_held_after_packing_says_what_was_done_last_not_weighed_last(
    beside: Bring, job: Job
) -> None:
    job.cleared().packed()
    record(job.desk, job.lot, LabelsPrinted((1,)))
    record(job.desk, job.lot, Held("a label looks smudged"))
    at = beside(job)
    assert at.heading == "On hold"
    assert "Where it was: 1 label printed. Cid Dane" in plain(at.page.where.text())


def test_what_was_told_of_an_act_before_is_gone_after_the_next_one(beside: Bring, job: Job) -> None:
    at = beside(job.cleared())
    speech = Speech(at.context)
    at.qtbot.addWidget(speech)
    at.context.say.tell("ui.acts_now", person="Cid Dane")
    assert speech.news()
    at.enter(job.containers[UREA].number)
    assert speech.news() == ""


def test_an_interruption_says_where_it_was(beside: Bring, job: Job) -> None:
    job.cleared().weighs(UREA, "120 g")
    at = beside(job)
    at.press(Qt.Key.Key_I, CTRL)
    at.press(Qt.Key.Key_Return)
    assert at.heading == "Take the work up again"
    at.press(Qt.Key.Key_Return)
    assert at.heading == "Wax"


def test_an_act_is_taken_back_before_it_is_done(beside: Bring, job: Job) -> None:
    at = beside(job.cleared())
    at.press(Qt.Key.Key_X, CTRL | SHIFT)
    assert at.heading == "Cancel the preparation"
    at.press(Qt.Key.Key_Backspace, CTRL)
    assert at.heading == "Urea"
    assert stage_of(job) is Stage.BENCH_CLEARED


def test_a_deviation_is_opened_and_decided(beside: Bring, job: Job) -> None:
    at = beside(job.cleared())
    at.press(Qt.Key.Key_D, CTRL | SHIFT)
    at.enter("the lid was open")
    at.enter()
    at.press(Qt.Key.Key_Y, CTRL | SHIFT)
    at.enter("no harm")
    at.sign()
    (deviation,) = job.work.state.deviations
    assert (deviation.decision, deviation.decided_by) == ("no harm", "p-ada")


def test_release_shows_all_and_is_signed_by_who_made_nothing(beside: Bring, desk: Desk) -> None:
    content = four_lines(tests=(QualityTest("pH", "5 to 6"),))
    job = a_job(desk, content).started("2 x 100 g").cleared()
    job.packed().awaiting_release()
    at = beside(job)
    headings = [heading for heading, _ in at.page.view.shown.columns]
    assert headings == ["Order", "Record", "Labels", "Product"]
    at.press(Qt.Key.Key_Return)
    assert at.asking.dialog is not None
    people = at.asking.dialog.person
    assert people.currentText().startswith("Ada Berg")
    assert at.asking.dialog.alone_because.isHidden()
    at.sign()
    assert stage_of(job) is Stage.RELEASED


def test_a_figure_outside_the_limits_of_a_test_is_said_as_it_is_recorded(
    beside: Bring, desk: Desk
) -> None:
    content = four_lines(tests=(QualityTest("pH", "5 to 6"),))
    job = a_job(desk, content).started("2 x 100 g").cleared()
    job.packed()
    at = beside(job)
    record(job.desk, job.lot, LabelsPrinted((1, 2)))
    at.settle()
    at.page.shown()
    at.settle()
    assert at.heading == "pH"
    at.enter("8.1")
    told = plain(at.page.last_wrong.text())
    assert told.startswith("pH: 8.1 is outside its limits. A deviation is open")
    (deviation,) = job.work.state.deviations
    assert deviation.category is Category.TEST
    assert "pH, outside its limits: 8.1. Cid Dane" in plain(at.page.record.log.toPlainText())


def test_a_jar_that_was_made_for_a_patient_goes_to_that_patient(beside: Bring, desk: Desk) -> None:
    job = a_job(desk).started("2 x 100 g", patient="Una Holm").cleared().released()
    at = beside(job)
    at.press(Qt.Key.Key_Return)
    assert stage_of(job) is Stage.RELEASED
    at.press(Qt.Key.Key_Return)
    assert stage_of(job) is Stage.HANDED_OVER


def test_a_patients_telephone_is_asked_for_once_where_nothing_was_ordered(
    beside: Bring, desk: Desk
) -> None:
    at = beside(a_job(desk).started("2 x 100 g").cleared().released())
    to = at.page.view.entries.inputs["to"]
    assert isinstance(to, ChoiceBox)
    to.choose(Recipient.PATIENT.value)
    at.enter("Una Holm")
    assert "a recall wouldn't reach them" in plain(at.trouble)
    assert desk.store.every(Identity) == []
    at.enter("0555 1234")
    assert at.job.work.state.jars[0].recipient is Recipient.PATIENT
    (kept,) = desk.store.every(Identity)
    assert kept.details is not None
    assert kept.details.telephone == "0555 1234"


def test_the_record_stands_beside_newest_first_with_strengths(beside: Bring, job: Job) -> None:
    job.cleared().weighs(UREA, "120 g")
    at = beside(job)
    assert plain(at.page.record.log.toPlainText()).startswith("4  09:00  Urea: 120 g. Cid Dane")
    assert "Urea: declared" in at.page.record.strengths.text()
    assert job.work.state.lines[WAX].readings == ()


def test_every_part_has_a_name_for_a_screen_reader(beside: Bring, phases: Job) -> None:
    at = beside(phases)
    assert unnamed(at.page) == []
    at.page.resize(800, 560)
    assert at.page.record.isHidden()
    at.press(Qt.Key.Key_R, CTRL)
    assert not at.page.record.isHidden()


def test_an_amount_of_another_kind_is_refused(beside: Bring, job: Job) -> None:
    at = beside(job.cleared())
    at.enter(job.containers[UREA].number)
    at.enter("120 mL")
    assert job.work.state.lines[UREA].readings == ()
    assert amount("120 g") != amount("120 mg")


def test_what_is_released_leaves_the_list_and_nothing_else_is_highlighted(
    beside: Callable[[Job], AtPage], desk: Desk
) -> None:
    made = a_job(desk)
    waiting = made.started("1 x 50 g").lot
    done = made.started("2 x 100 g").cleared().released()
    at = beside(done)
    rows = at.page.work_list.list
    assert rows.count() == 1
    assert waiting in rows.item(0).text()
    assert rows.currentRow() == -1
    assert done.lot in at.page.title.text()
    at.page.work_list.focus_find()
    at.enter(done.lot)
    assert done.lot in at.page.title.text()
    assert rows.currentRow() == -1


def test_who_planned_alone_is_told_how_to_go_on_and_the_record_says_why(
    beside: Callable[[Job], AtPage], context: Context, desk: Desk
) -> None:
    alone = replace(desk, person=ADA)
    context.seat(alone)
    at = beside(a_job(alone).started())
    assert any("or you alone, with the reason" in each for each in at.page.view.shown.notes)
    at.press(Qt.Key.Key_Return)
    dialog = at.asking.dialog
    assert dialog is not None
    dialog.person.setCurrentIndex(dialog.person.findData(ADA.id))
    dialog.person.activated.emit(dialog.person.currentIndex())
    dialog.alone_because.setText("night duty")
    at.sign()
    log = plain(at.page.record.log.toPlainText())
    assert "Plan checked. Done alone: night duty." in log


def test_nothing_is_headed_where_nothing_is_chosen(
    beside: Callable[[Job], AtPage], desk: Desk
) -> None:
    at = beside(a_job(desk))
    assert all(each.isHidden() for each in at.page.record._heads.values())


def test_release_begins_at_its_top_and_the_signature_is_asked_below_it(
    beside: Bring, desk: Desk
) -> None:
    job = a_job(desk).started("2 x 100 g").cleared()
    job.packed().awaiting_release()
    at = beside(job)
    at.page.resize(1280, 420)
    at.settle()
    bar = at.page._leaf.verticalScrollBar()
    at.qtbot.waitUntil(lambda: not at.page._leaf._settled.isActive())
    assert bar.maximum() > 0
    assert bar.value() == 0
    at.page.resize(1280, 760)
    at.press(Qt.Key.Key_Return)
    dialog = at.asking.dialog
    assert dialog is not None
    window, asked = at.page.frameGeometry(), dialog.frameGeometry()
    assert asked.left() > window.center().x()
    assert window.bottom() - asked.bottom() < asked.height()


def test_what_is_confirmed_as_the_bench_is_cleared_stands_by_itself(
    beside: Bring, job: Job
) -> None:
    at = beside(job)
    at.enter()
    at.sign()
    shown = at.page.view.shown
    assert shown.heading == "Clear the bench"
    assert len(shown.notes) == 1
    assert any("weren't read today" in said for _, said in shown.sentences)
