"""Worksheets of what is scaled: printed, saved as a PDF, and blanks with lots set aside."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QLineEdit
from pytestqt.qtbot import QtBot

from formulary.bench.stages import Stage
from tests.ui.formulas.conftest import Find, focused, press
from tests.ui.papers.printing import FakePrinter, accept_file, fake_printer, save_into, text_of
from ui.formulas.page import FormulasPage
from ui.window import Window

Settle = Callable[[], None]
CTRL = Qt.KeyboardModifier.ControlModifier
CTRL_SHIFT = CTRL | Qt.KeyboardModifier.ShiftModifier


@pytest.fixture
def printer(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> FakePrinter:
    return fake_printer(monkeypatch, tmp_path)


@pytest.fixture
def scaled(page: FormulasPage, find: Find, settle: Settle) -> FormulasPage:
    """Return the page with three jars of urea cream in the panel."""
    find("CR-003")
    page.panel.focus_target()
    QTest.keyClicks(page.panel.target.line, "3 x 60 g")
    settle()
    return page


def told(window: Window) -> str:
    said = window.context.say.history[-1].message
    return window.context.said(said)


@pytest.mark.usefixtures("scaled")
def test_the_worksheet_with_its_targets_goes_to_the_printer(
    window: Window, settle: Settle, printer: FakePrinter
) -> None:
    press(Qt.Key.Key_P, CTRL)
    settle()
    assert printer.arguments[:6] == ["-d", "office", "-n", "2", "-o", "media=A4"]
    assert "18g" in printer.text
    assert "Worksheet" in printer.text
    assert "went to office" in told(window)
    assert window.context.desk.store.register() == []


@pytest.mark.usefixtures("scaled")
def test_the_worksheet_is_saved_where_enter_says(
    qtbot: QtBot, settle: Settle, tmp_path: Path
) -> None:
    save_into(tmp_path)
    press(Qt.Key.Key_S, CTRL_SHIFT)
    accept_file(qtbot)
    settle()
    assert "18g" in text_of(tmp_path / "CR-003.pdf")


def test_a_target_that_makes_no_sense_is_said_in_place_and_nothing_is_asked(
    scaled: FormulasPage, settle: Settle, printer: FakePrinter
) -> None:
    line = scaled.panel.target.line
    line.selectAll()
    QTest.keyClicks(line, "3 x")
    press(Qt.Key.Key_P, CTRL)
    settle()
    assert scaled.panel.target.trouble is not None
    assert not (printer.folder / "arguments").exists()


def test_blanks_are_set_aside_by_keys_and_each_has_a_lot_of_its_own(
    scaled: FormulasPage, window: Window, settle: Settle, printer: FakePrinter
) -> None:
    press(Qt.Key.Key_B, CTRL_SHIFT)
    QTest.keyClicks(focused(), "Power cuts announced")
    press(Qt.Key.Key_Return)
    settle()
    kept = window.context.desk.store.register()
    assert [each.stage for each in kept] == [Stage.REQUESTED] * 3
    assert all(each.lot in printer.text for each in kept)
    assert all(each.lot in told(window) for each in kept)
    assert not scaled.panel.worksheets.question.asking
    assert scaled.panel.start.isEnabled()


@pytest.mark.usefixtures("scaled")
def test_without_a_reason_no_lot_is_given(
    window: Window, settle: Settle, printer: FakePrinter
) -> None:
    press(Qt.Key.Key_B, CTRL_SHIFT)
    press(Qt.Key.Key_Return)
    settle()
    assert window.context.desk.store.register() == []
    assert not (printer.folder / "arguments").exists()


def test_escape_takes_the_question_for_blanks_back(
    scaled: FormulasPage, window: Window, settle: Settle
) -> None:
    press(Qt.Key.Key_B, CTRL_SHIFT)
    assert not scaled.panel.start.isEnabled()
    press(Qt.Key.Key_Escape)
    settle()
    assert not scaled.panel.worksheets.question.asking
    assert scaled.panel.target.line.hasFocus()
    assert scaled.panel.start.isEnabled()
    assert window.context.desk.store.register() == []


def test_a_printer_that_refuses_says_which_lots_were_given(
    scaled: FormulasPage, window: Window, settle: Settle, printer: FakePrinter
) -> None:
    printer.refuses("no paper")
    press(Qt.Key.Key_B, CTRL_SHIFT)
    count = scaled.panel.worksheets.question.findChildren(QLineEdit)[0]
    count.selectAll()
    QTest.keyClicks(count, "1")
    QTest.keyClicks(focused(), "Power cuts announced")
    press(Qt.Key.Key_Return)
    settle()
    (blank,) = window.context.desk.store.register()
    assert "no paper" in told(window)
    assert blank.lot in told(window)
