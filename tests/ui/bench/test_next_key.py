"""The next key always goes where the thing to do wants it: by keys through a whole preparation."""

from __future__ import annotations

import threading
from collections.abc import Callable, Iterator
from fractions import Fraction

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QDialog, QLabel, QWidget
from pytestqt.qtbot import QtBot

from formulary.bench.events import (
    Answer,
    ContainersFilled,
    Held,
    LabelsPrinted,
    PhasesJoined,
    QualityTested,
    StepDone,
    YieldTaken,
)
from formulary.bench.joining import SideTemperature
from formulary.desk import Desk
from formulary.formula.content import Ask, Asked, Phase, QualityTest
from formulary.verbs.work_at_bench import record
from tests.helpers.at_bench import a_step
from tests.helpers.desks import PIN
from tests.helpers.formulas import a_formula, a_line, active, amount
from tests.helpers.stocked_bench import UREA, WAX, Job, a_job, kept_well
from tests.ui.at_desk import plain
from tests.ui.bench.conftest import CTRL, NONE, SHIFT, AtPage
from ui.coming_back import ComingBack

Bring = Callable[[Job], AtPage]

CREAM = kept_well(
    a_formula(
        a_line("Wax", "40 g", phase="A"),
        a_line("Water", "60 g", phase="B"),
        phases=(Phase("A", "Fat phase"), Phase("B", "Water phase")),
        steps=(
            a_step("Melt", "A", temperature="65 to 70 °C"),
            a_step("Heat", "B", temperature="65 to 70 °C"),
            a_step("Join", temperature="65 to 70 °C"),
            a_step("Stir", asks=(Ask(Asked.TIME, "", Fraction(5)),)),
        ),
        tests=(QualityTest("pH", "5 to 7"),),
    )
)
"""Two phases, a join, a question and a test."""


@pytest.fixture(params=["at once", "late", "inactive"])
def way(request: pytest.FixtureRequest) -> str:
    """Return how the window is worked: an act answers at once, late, or the window isn't active."""
    return str(request.param)


class Walker:
    """Does one thing after the other by keys, and looks after each where the next key goes."""

    def __init__(self, at: AtPage, way: str) -> None:
        self.at, self.late = at, way == "late"
        self.elsewhere = QWidget()
        if way == "inactive":
            at.qtbot.addWidget(self.elsewhere)
            with at.qtbot.waitActive(self.elsewhere):
                self.elsewhere.show()
                self.elsewhere.activateWindow()

    @property
    def focus(self) -> QWidget:
        """Where the window's keys go once it is active."""
        found = self.at.page.window().focusWidget()
        assert found is not None
        return found

    def wants(self, heading: str, name: str) -> None:
        """Look what is to do, and that the next key goes there."""
        assert self.at.heading.startswith(heading)
        found = self.focus
        words = found.accessibleName()
        assert (plain(words), found.isVisible()) == (name, True), self.at.heading

    def through(self, *things: tuple[str, str, str | None]) -> None:
        """Look at each thing to do, and do it: its heading, what has the focus, what is typed."""
        for heading, name, typed in things:
            self.wants(heading, name)
            if typed is not None:
                self.types(typed)

    def types(self, *texts: str) -> None:
        """Type texts, each with Enter."""
        for text in texts:
            QTest.keyClicks(self.focus, text)
            self.key(Qt.Key.Key_Return)

    def key(self, key: Qt.Key, modifier: Qt.KeyboardModifier = NONE) -> None:
        """Press a key, and let what comes of it answer late where that is asked for."""
        answer = threading.Event()
        if self.late:
            self.at.context.operations.start(answer.wait)
        QTest.keyClick(self.focus, key, modifier)
        QApplication.processEvents()
        answer.set()
        self.at.settle()

    def signs(self) -> None:
        """Give the PIN that is asked for."""
        self.at.sign()


def test_every_thing_to_do_has_the_next_key_from_the_plan_to_the_last_jar(
    beside: Bring, desk: Desk, way: str
) -> None:
    job = a_job(desk, CREAM).started("2 x 100 g")
    wax, water = (each.number for each in job.containers)
    walk = Walker(beside(job), way)
    walk.through(("Check the plan", "Sign the check of the plan", ""))
    walk.signs()
    walk.through(
        ("Clear the bench", "The bench is clear", ""),
        ("Vessel for A", "Empty it weighs", "250"),
        ("Wax", "Container: scan it, or type its number", wax),
        ("Wax", "The balance shows", "80"),
        ("Step 1", "Done", ""),
        ("Vessel for B", "Empty it weighs", "250"),
        ("Water", "Container: scan it, or type its number", water),
        ("Water", "The balance shows", "120"),
        ("Step 2", "Done", ""),
        ("Join the phases", "Phase A is at (right: 65 to 70 °C)", "68"),
        ("Join the phases", "Phase B is at (right: 65 to 70 °C)", "67"),
        ("Step 3", "Done", ""),
        ("Step 4", "Minutes that it took (at least 5)", "6"),
        ("Yield", "There are in all", "200"),
        ("pH", "Found", "6"),
        ("Container 1 of 2", "It holds", "2 x 100 g"),
        ("Print the labels", "Go to the labels", None),
    )


def test_every_thing_to_do_has_the_next_key_from_the_labels_to_the_ward(
    beside: Bring, desk: Desk, way: str
) -> None:
    job = a_job(desk, CREAM).started("2 x 100 g").cleared()
    job.weighs_all()
    walk = Walker(beside(packed_at(job)), way)
    walk.through(
        ("Count the labels", "On containers", "2"),
        ("Count the labels", "Left over", "0"),
        ("Send for release", "Send it for release", ""),
        ("Release", "Sign the release", ""),
    )
    walk.signs()
    walk.through(
        ("Hand over container 1", "Name of ward or patient", "Ward 3"),
        ("Hand over container 2", "Name of ward or patient", None),
    )


def packed_at(job: Job) -> Job:
    """Return the job with its jars filled, labelled and tested."""
    joined = PhasesJoined(
        2, (SideTemperature("A", Fraction(68)), SideTemperature("B", Fraction(67)))
    )
    minutes = (Answer(Asked.TIME, Fraction(6)),)
    for event in (
        *(StepDone(0), StepDone(1), joined, StepDone(2), StepDone(3, minutes)),
        YieldTaken(amount("200 g"), inside=True),
        QualityTested("pH", "6", passed=True),
        ContainersFilled((amount("100 g"),) * 2),
        LabelsPrinted((1, 2)),
    ):
        record(job.desk, job.lot, event)
    return job


def test_the_menu_of_acts_goes_once_an_act_is_chosen_by_its_keys(beside: Bring, job: Job) -> None:
    at = beside(job.cleared())
    at.press(Qt.Key.Key_Period, CTRL)
    menu = QApplication.activePopupWidget()
    assert menu is not None
    QTest.keyClick(menu, Qt.Key.Key_D, CTRL | SHIFT)
    at.settle()
    assert QApplication.activePopupWidget() is None
    assert at.focused().accessibleName() == "What went otherwise than written"


@pytest.mark.parametrize(
    ("act", "name"),
    [
        (Qt.Key.Key_T, "Minutes"),
        (Qt.Key.Key_H, "Why"),
        (Qt.Key.Key_D, "What went otherwise than written"),
    ],
)
def test_an_act_beside_the_thing_to_do_has_the_next_key_and_gives_it_back(
    beside: Bring, job: Job, act: Qt.Key, name: str
) -> None:
    walk = Walker(beside(job.cleared()), "at once")
    before = walk.at.heading
    walk.key(act, CTRL | SHIFT)
    walk.wants("", name)
    walk.key(Qt.Key.Key_Backspace, CTRL)
    walk.wants(before, "Container: scan it, or type its number")


def test_a_question_for_a_pin_gives_the_keys_back_either_way(
    beside: Bring, job: Job, way: str
) -> None:
    at = beside(job)
    walk = Walker(at, way)
    walk.types("")
    assert at.asking.dialog is not None
    QTest.keyClick(at.asking.dialog.pin, Qt.Key.Key_Escape)
    at.settle()
    walk.wants("Check the plan", "Sign the check of the plan")
    walk.types("")
    assert at.asking.dialog is not None
    walk.signs()
    walk.wants("Clear the bench", "The bench is clear")


def test_enter_on_no_pin_is_no_try(beside: Bring, job: Job) -> None:
    at = beside(job)
    at.enter()
    for _ in range(4):
        at.sign("")
    assert at.asking.dialog is not None
    assert at.asking.dialog.refusal.text() == ""
    at.sign(PIN)
    assert at.asking.dialog is None


def test_a_hold_by_somebody_else_takes_the_next_key_along(beside: Bring, job: Job) -> None:
    at = beside(job.cleared())
    record(job.desk, job.lot, Held("asked the prescriber"))
    at.page.shown()
    at.settle()
    assert at.focused().accessibleName() == "Why it goes on"


def test_what_had_the_focus_and_died_is_followed_by_what_is_to_do(beside: Bring, job: Job) -> None:
    at = beside(job.cleared())
    at.focused().clearFocus()
    at.qtbot.waitUntil(lambda: QApplication.focusWidget() is not None)
    assert at.focused().accessibleName() == "Container: scan it, or type its number"


@pytest.fixture
def held_up(beside: Bring, job: Job) -> Iterator[tuple[AtPage, threading.Event]]:
    """Return the bench with an act under way that answers when the event is set."""
    at = beside(job.cleared())
    answer = threading.Event()
    at.context.operations.start(answer.wait)
    QTest.keyClicks(at.focused(), job.containers[UREA].number)
    QTest.keyClick(at.focused(), Qt.Key.Key_Return)
    yield at, answer
    answer.set()


def test_a_figure_typed_ahead_stands_in_the_next_field_and_is_not_confirmed(
    held_up: tuple[AtPage, threading.Event], job: Job
) -> None:
    at, answer = held_up
    QTest.keyClicks(at.focused(), "12")
    answer.set()
    at.settle()
    assert at.focused().accessibleName() == "The balance shows"
    assert at.page.view.entries.values()["weight"] == "12"
    QTest.keyClicks(at.focused(), "0")
    assert job.work.state.lines[UREA].readings == ()
    at.press(Qt.Key.Key_Return)
    assert at.heading == "Wax"


def test_enter_typed_ahead_confirms_nothing(
    held_up: tuple[AtPage, threading.Event], job: Job
) -> None:
    at, answer = held_up
    QTest.keyClicks(at.focused(), "120")
    QTest.keyClick(at.focused(), Qt.Key.Key_Return)
    answer.set()
    at.settle()
    assert job.work.state.lines[UREA].readings == ()
    assert at.page.view.entries.values()["weight"] == "120"


def test_what_was_typed_ahead_of_a_refusal_is_named_and_goes_nowhere(
    beside: Bring, job: Job
) -> None:
    at = beside(job.cleared())
    answer = threading.Event()
    at.context.operations.start(answer.wait)
    QTest.keyClicks(at.focused(), job.containers[WAX].number)
    QTest.keyClick(at.focused(), Qt.Key.Key_Return)
    QTest.keyClicks(at.focused(), "120")
    answer.set()
    at.settle()
    assert "“120” was typed while the last act was under way, and isn't taken." in at.trouble
    assert at.page.view.entries.values()["container"] == ""


def test_whoever_looks_for_a_lot_meanwhile_is_left_there(
    held_up: tuple[AtPage, threading.Event],
) -> None:
    at, answer = held_up
    QTest.keyClick(at.focused(), Qt.Key.Key_F, CTRL)
    QTest.keyClicks(at.focused(), "26-")
    answer.set()
    at.settle()
    assert at.page.work_list.search.text() == "26-"
    assert at.focused() is at.page.work_list.search


def test_a_stray_scan_confirms_nothing_and_is_named(beside: Bring, job: Job) -> None:
    at = beside(job)
    at.enter()
    at.sign()
    assert at.heading == "Clear the bench"
    at.enter(job.containers[WAX].number)
    assert at.heading == "Clear the bench"
    assert f"“{job.containers[WAX].number}” isn't asked for here" in at.trouble
    at.press(Qt.Key.Key_Return)
    assert at.heading == "Urea"


def test_a_refused_temperature_is_typed_again_where_it_was_typed(
    beside: Bring, phases: Job
) -> None:
    phases.weighs_all()
    for step in (0, 1):
        record(phases.desk, phases.lot, StepDone(step))
    at = beside(phases)
    at.enter("68")
    at.enter("60")
    assert at.trouble
    assert at.focused().accessibleName().startswith("Phase B is at")
    at.enter("67")
    assert at.heading == "Step 3 of 4"


def test_coming_back_to_the_page_keeps_what_was_typed(beside: Bring, job: Job) -> None:
    at = beside(job.cleared())
    at.enter(job.containers[UREA].number)
    QTest.keyClicks(at.focused(), "12")
    at.page.shown()
    at.settle()
    QTest.keyClicks(at.focused(), "0")
    assert at.page.view.entries.values()["weight"] == "120"


def test_tab_goes_from_what_is_asked_to_the_act(beside: Bring, phases: Job) -> None:
    at = beside(phases)
    passed = [at.focused().accessibleName()]
    for _ in range(5):
        at.press(Qt.Key.Key_Tab)
        found = at.focused()
        passed.append(found.accessibleName() or type(found).__name__)
    assert passed == [
        "Empty it weighs",
        "Vessel",
        "Balance",
        "Record the tare",
        "No vessel is needed",
        "Say what it holds",
    ]


def test_asking_for_an_exception_keeps_what_was_typed(beside: Bring, desk: Desk) -> None:
    step = a_step("Mix", asks=(Ask(Asked.TEMPERATURE, "", Fraction(20), Fraction(21)),))
    content = kept_well(a_formula(active("Urea", "100 g"), steps=(step,)))
    at = beside(a_job(desk, content).started("100 g").cleared().weighs_all())
    QTest.keyClicks(at.focused(), "22")
    at.press(Qt.Key.Key_E, CTRL | SHIFT)
    at.enter("the bath failed")
    at.sign()
    (done,) = at.job.work.state.steps
    assert (done.excepted, done.answers[0].number) == ("the bath failed", Fraction(22))


@pytest.fixture
def phases(desk: Desk) -> Job:
    """Return a preparation of two phases on a cleared bench."""
    return a_job(desk, CREAM).started("100 g").cleared()


def test_a_dialog_that_closes_gives_the_keys_back_to_the_window(qtbot: QtBot) -> None:
    window = QWidget()
    qtbot.addWidget(window)
    ComingBack(window)
    with qtbot.waitActive(window):
        window.show()
        window.activateWindow()
    dialog = QDialog(window)
    with qtbot.waitActive(dialog):
        dialog.open()
        dialog.activateWindow()
    dialog.reject()
    qtbot.waitUntil(window.isActiveWindow)


def test_on_a_small_screen_the_field_and_the_act_are_both_whole(beside: Bring, phases: Job) -> None:
    at = beside(phases)
    at.page.resize(800, 560)
    QApplication.processEvents()
    at.settle()
    for each in (at.focused(), at.page.view.accent_button):
        assert each.visibleRegion().boundingRect() == each.rect()


def test_what_is_wrong_with_a_pin_squeezes_nothing(beside: Bring, job: Job) -> None:
    at = beside(job)
    at.enter()
    for _ in range(6):
        at.sign("0000")
    QApplication.processEvents()
    dialog = at.asking.dialog
    assert dialog is not None
    assert "Too many wrong PINs" in dialog.refusal.text()
    box = dialog.layout()
    assert box is not None
    assert dialog.height() >= box.totalHeightForWidth(dialog.width())
    for each in dialog.findChildren(QLabel):
        if each.isVisible():
            assert each.height() >= each.heightForWidth(each.width()), each.text()
