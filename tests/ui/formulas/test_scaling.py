"""Scaling beside the leaf: quantities follow what is typed."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from PySide6.QtCore import QPoint, QPointF, Qt
from PySide6.QtGui import QWheelEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QScrollArea
from pytestqt.qtbot import QtBot

from tests.ui.formulas.conftest import Find, focused, press
from ui.context import PageName, Trial
from ui.formulas.page import FormulasPage
from ui.widgets.choice_box import ChoiceBox

Scale = Callable[[str], None]


@pytest.fixture
def scale(page: FormulasPage, find: Find, settle: Callable[[], None]) -> Scale:
    """Return what types a target for the urea cream."""
    find("urea")

    def to(target: str) -> None:
        page.panel.focus_target()
        QTest.keyClicks(page.panel.target.line, target)
        settle()

    return to


def plain(text: str) -> str:
    """Return a text with ordinary spaces."""
    return text.replace("\N{NO-BREAK SPACE}", " ")


def figures(page: FormulasPage) -> dict[str, str]:
    return {row.ingredient: plain(row.figure.text()) for row in page.panel.table.rows}


def test_quantities_follow_the_target_as_it_is_typed(page: FormulasPage, scale: Scale) -> None:
    scale("3 x 60 g")
    assert figures(page)["Urea"] == "18 g"
    assert page.panel.packs.box.currentText() == "Jar 60 g, white"
    assert page.panel.packs.count.text() == "3"


def test_a_target_closes_with_no_zeros_and_has_its_band(page: FormulasPage, scale: Scale) -> None:
    scale("3 x 60 g")
    assert figures(page)["Urea"] == "18 g"
    urea = page.panel.table.rows[0]
    assert plain(urea.how) == "Precision balance, middle bench · 17.82 to 18.18 g"


def test_every_line_is_in_view_at_1280_by_800(
    page: FormulasPage, find: Find, settle: Callable[[], None], qtbot: QtBot
) -> None:
    find("CR-003")
    settle()
    table = page.panel.table
    last = table.model().index(len(table.rows) - 1, 0)
    assert table.rows[-1].ingredient == "Nonionic hydrophilic cream"
    qtbot.waitUntil(lambda: table.verticalScrollBar().maximum() == 0)
    below = table.viewport().mapTo(page, table.visualRect(last).bottomLeft())
    assert below.y() < page.panel.rect().bottom()


def test_the_keys_scroll_to_their_line_where_the_panel_is_short(
    page: FormulasPage, find: Find, settle: Callable[[], None], qtbot: QtBot
) -> None:
    find("CR-003")
    settle()
    page.resize(1280, 480)
    table, area = page.panel.table, page.panel.findChild(QScrollArea)
    assert area is not None
    qtbot.waitUntil(lambda: area.verticalScrollBar().maximum() > 0)
    table.setFocus()
    for _ in table.rows:
        QTest.keyClick(table, Qt.Key.Key_Down)
    line = table.visualRect(table.currentIndex())
    seen = table.viewport().mapTo(area.viewport(), line.center())
    assert area.viewport().rect().contains(seen)


def test_container_and_count_write_the_target(
    page: FormulasPage, scale: Scale, settle: Callable[[], None]
) -> None:
    scale("100 g")
    names = [page.panel.packs.box.itemText(row) for row in range(page.panel.packs.box.count())]
    page.panel.packs.box.setCurrentIndex(names.index("Jar 30 g, white"))
    page.panel.packs.box.activated.emit(page.panel.packs.box.currentIndex())
    page.panel.packs.count.setFocus()
    page.panel.packs.count.selectAll()
    QTest.keyClicks(page.panel.packs.count, "4")
    settle()
    assert page.panel.target.text() == "4 x 30 g"
    assert figures(page)["Urea"] == "12 g"


def test_a_target_that_makes_no_sense_leaves_no_old_figure(
    page: FormulasPage, scale: Scale
) -> None:
    scale("3 x 60 g")
    scale("3 x 60")
    assert figures(page) == {}
    assert "has no unit" in page.panel.target.note.text()


def test_the_equals_sign_opens_the_working_under_its_line(page: FormulasPage, scale: Scale) -> None:
    scale("3 x 60 g")
    page.panel.table.setFocus()
    QTest.keyClicks(page.panel.table, "=")
    assert plain(page.panel.table.open_workings()[0]) == "10 % w/w of 180 g = 18 g"
    QTest.keyClicks(page.panel.table, "=")
    assert page.panel.table.open_workings() == ()


def test_the_equals_sign_works_from_the_target_too(page: FormulasPage, scale: Scale) -> None:
    scale("3 x 60 g")
    QTest.keyClicks(page.panel.target.line, "=")
    assert page.panel.target.text() == "3 x 60 g"
    assert page.panel.table.open_workings()


def test_f2_and_f3_work_from_the_target_too(page: FormulasPage, scale: Scale) -> None:
    scale("3 x 60 g")
    press(Qt.Key.Key_F2)
    assert page.panel.instrument.hasFocus()
    page.panel.focus_target()
    press(Qt.Key.Key_F3)
    assert page.panel.lot.isVisible()


def test_another_balance_can_be_chosen_for_a_line(
    page: FormulasPage, scale: Scale, settle: Callable[[], None]
) -> None:
    scale("3 x 60 g")
    page.panel.instrument.choose("Bench balance, by the sink")
    page.panel.instrument.activated.emit(page.panel.instrument.currentIndex())
    settle()
    assert plain(page.panel.table.rows[0].how) == "Bench balance, by the sink · 17.9 to 18.1 g"


def test_what_does_not_fit_the_container_is_a_stop_with_its_word(
    page: FormulasPage, scale: Scale, settle: Callable[[], None]
) -> None:
    scale("3 x 60 g")
    names = [page.panel.packs.box.itemText(row) for row in range(page.panel.packs.box.count())]
    page.panel.target.set_text("3 x 90 g")
    page.panel.packs.box.setCurrentIndex(names.index("Jar 60 g, white"))
    page.panel.rescale()
    settle()
    assert any(text.startswith("Stop: ") for text in page.panel.findings.texts())


def test_the_wheel_never_changes_a_choice_without_the_focus(
    page: FormulasPage, scale: Scale
) -> None:
    scale("3 x 60 g")
    assert not page.panel.packs.box.hasFocus()
    turn(page.panel.packs.box)
    assert page.panel.packs.box.currentText() == "Jar 60 g, white"


def turn(box: ChoiceBox) -> None:
    """Turn the wheel one notch over a box."""
    middle = QPointF(box.rect().center())
    event = QWheelEvent(
        middle,
        box.mapToGlobal(middle),
        QPoint(0, 0),
        QPoint(0, -120),
        Qt.MouseButton.NoButton,
        Qt.KeyboardModifier.NoModifier,
        Qt.ScrollPhase.NoScrollPhase,
        False,
    )
    QApplication.sendEvent(box, event)


def test_no_container_is_chosen_before_one_is_picked_or_its_size_typed(
    page: FormulasPage, find: Find, settle: Callable[[], None]
) -> None:
    find("aqueous iodine oral")
    assert plain(page.panel.target.text()) == "20 mL"
    assert page.panel.packs.box.currentText() == "none chosen"
    assert page.panel.packs.count.text() == "1"
    find("urea")
    page.panel.focus_target()
    QTest.keyClicks(focused(), "60 g")
    settle()
    assert page.panel.packs.box.currentText() == "Jar 60 g, white"
    find("hydrophilic cream, preserved")
    assert page.panel.packs.box.currentText() == "none chosen"


@pytest.mark.parametrize("key", [Qt.Key.Key_Return, Qt.Key.Key_Enter])
def test_enter_at_a_target_that_makes_no_sense_refuses_in_place(
    page: FormulasPage, find: Find, settle: Callable[[], None], key: Qt.Key
) -> None:
    find("glycerol cream")
    page.panel.focus_target()
    QTest.keyClicks(focused(), "needs storage")
    press(key)
    settle()
    assert page.isVisible()
    assert page.panel.target.line.hasFocus()
    assert "has no number" in page.panel.target.note.text()


def test_an_empty_target_is_refused_in_place_too(
    page: FormulasPage, find: Find, settle: Callable[[], None]
) -> None:
    find("glycerol cream")
    page.panel.focus_target()
    press(Qt.Key.Key_Delete)
    press(Qt.Key.Key_Return)
    settle()
    assert page.isVisible()
    assert page.panel.target.note.text()


def test_a_target_that_makes_no_sense_is_gone_when_the_formula_is_shown_again(
    page: FormulasPage, find: Find, settle: Callable[[], None]
) -> None:
    find("glycerol cream")
    written = page.panel.target.text()
    page.panel.focus_target()
    QTest.keyClicks(focused(), "needs storage")
    press(Qt.Key.Key_Escape)
    press(Qt.Key.Key_R, Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.ShiftModifier)
    settle()
    settle()
    assert page.panel.target.text() == written


def test_a_draft_version_only_gives_a_trial_label(
    page: FormulasPage, find: Find, settle: Callable[[], None]
) -> None:
    find("glycerol cream")
    assert page.panel.start.text() == "Trial label"
    wanted: list[tuple[str, object]] = []
    page._context.page_wanted.disconnect()
    page._context.page_wanted.connect(lambda name, subject: wanted.append((name, subject)))
    press(Qt.Key.Key_Return)
    press(Qt.Key.Key_Return, Qt.KeyboardModifier.ControlModifier)
    settle()
    assert wanted[0][0] == PageName.LABELS
    assert isinstance(wanted[0][1], Trial)


def test_the_key_for_instruments_says_why_there_is_nothing_to_choose(
    page: FormulasPage, find: Find, settle: Callable[[], None]
) -> None:
    find("urea")
    page.panel.focus_target()
    QTest.keyClicks(page.panel.target.line, "3 x 60 g")
    settle()
    table = page.panel.table
    for line, row in enumerate(table.rows):
        if len(row.able) == 1:
            table.setFocus()
            table.go_to(line)
            press(Qt.Key.Key_F2)
            said = page._context.say.history[-1].message
            assert said.key == "ui_formulas.scale.only_instrument"
            assert dict(said.parameters)["instrument"] == row.instrument
            return
    raise AssertionError("every line of the sample formula has several balances")
