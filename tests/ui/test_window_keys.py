"""The keys that buttons show work from text fields, too, and Esc takes a refusal away."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from PySide6.QtCore import QEvent, Qt
from PySide6.QtGui import QAction
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QFileDialog, QLineEdit
from pytestqt.qtbot import QtBot

from formulary.messages import message
from tests.ui.conftest import PATIENCE_MS, settled
from ui.context import PageName
from ui.formulas.page import FormulasPage
from ui.labels.page import LabelsPage
from ui.window import Window

CTRL = Qt.KeyboardModifier.ControlModifier
SHIFT = Qt.KeyboardModifier.ShiftModifier
Settle = Callable[[], None]


class GreedyLine(QLineEdit):
    """A field that takes every key for editing, as fields do with some keys on some desktops."""

    def event(self, event: QEvent) -> bool:
        if event.type() == QEvent.Type.ShortcutOverride:
            event.accept()
            return True
        return super().event(event)


def focused() -> QLineEdit:
    """Return the text field with the focus."""
    widget = QApplication.focusWidget()
    assert isinstance(widget, QLineEdit)
    return widget


@pytest.fixture
def page(window: Window) -> FormulasPage:
    found = window.pages["formulas"]
    assert isinstance(found, FormulasPage)
    return found


@pytest.fixture
def greedy(page: FormulasPage) -> GreedyLine:
    """Return a greedy field on the page of formulas, with the focus."""
    line = GreedyLine(page)
    line.show()
    line.setFocus()
    return line


def test_ctrl_e_edits_from_the_search_field(page: FormulasPage, settle: Settle) -> None:
    assert page.search.hasFocus()
    QTest.keyClick(page.search, Qt.Key.Key_E, CTRL)
    settle()
    assert page.session is not None
    assert page.session.active


def test_ctrl_e_saves_the_pdf_from_the_patient_field(
    qtbot: QtBot, window: Window, page: FormulasPage, settle: Settle
) -> None:
    page.search_for("urea")
    settle()
    page.panel.start.trigger()
    settle()
    QTest.keyClick(window.pages["bench"], Qt.Key.Key_L, CTRL)
    settle()
    labels = window.pages["labels"]
    assert isinstance(labels, LabelsPage)
    labels.order.address.inputs["patient"].setFocus()
    QTest.keyClick(focused(), Qt.Key.Key_E, CTRL)
    qtbot.waitUntil(lambda: bool(labels.findChildren(QFileDialog)), timeout=PATIENCE_MS)
    labels.findChildren(QFileDialog)[0].reject()
    settled(qtbot, window)


def test_a_field_that_takes_every_key_leaves_the_pages_keys(
    page: FormulasPage, greedy: GreedyLine, settle: Settle
) -> None:
    QTest.keyClick(greedy, Qt.Key.Key_L, CTRL)
    assert page.panel.target.line.hasFocus()
    greedy.setFocus()
    QTest.keyClick(greedy, Qt.Key.Key_K, CTRL)
    settle()
    assert page.search.hasFocus()


def test_a_field_keeps_its_editing_keys(greedy: GreedyLine) -> None:
    QTest.keyClicks(greedy, "zinc")
    QTest.keyClick(greedy, Qt.Key.Key_A, CTRL)
    QTest.keyClick(greedy, Qt.Key.Key_X, CTRL)
    QTest.keyClick(greedy, Qt.Key.Key_V, CTRL)
    QTest.keyClick(greedy, Qt.Key.Key_V, CTRL)
    assert greedy.text() == "zinczinc"


def test_shift_f1_shows_the_keys_from_a_text_field(window: Window, page: FormulasPage) -> None:
    assert page.search.hasFocus()
    QTest.keyClick(page.search, Qt.Key.Key_F1, SHIFT)
    assert window._help is not None
    assert window._help.isVisible()
    assert "Shift+F1 / ?" in window._help.text.toPlainText()


def test_the_question_mark_shows_the_keys_outside_fields(
    window: Window, page: FormulasPage
) -> None:
    page.panel.table.setFocus()
    QTest.keyClicks(page.panel.table, "?")
    assert window._help is not None
    assert window._help.isVisible()


def test_escape_takes_a_refusal_away_before_anything_else(
    window: Window, page: FormulasPage, settle: Settle
) -> None:
    page.to_scaling.trigger()
    window.context.say.refuse(message("ui_editor.reason_needed"))
    QTest.keyClick(page.panel.target.line, Qt.Key.Key_Escape)
    assert window.speech.refusal() == ""
    assert page.panel.target.line.hasFocus()
    QTest.keyClick(page.panel.target.line, Qt.Key.Key_Escape)
    settle()
    assert page.search.hasFocus()


def test_esc_puts_away_what_lies_on_top_and_only_that(
    window: Window, page: FormulasPage, settle: Settle
) -> None:
    window.context.say.refuse(message("ui_sign_in.nobody_can"))
    QTest.keyClick(page.search, Qt.Key.Key_F1)
    settle()
    viewer = window._viewer()
    assert viewer.isVisible()
    QTest.keyClick(viewer.text, Qt.Key.Key_Escape)
    assert not viewer.isVisible()
    assert window.speech.refusal()
    QTest.keyClick(page.search, Qt.Key.Key_Escape)
    assert not window.speech.refusal()


def test_no_page_gives_a_key_of_the_window_to_something_else(
    window: Window, settle: Settle
) -> None:
    for name in PageName:
        window.show_page(name)
        settle()
    own = {each.toString() for made in window.actions() for each in made.shortcuts()}
    taken = [
        (page.objectName(), made.text(), key.toString())
        for page in window.pages.values()
        for made in page.findChildren(QAction)
        for key in made.shortcuts()
        if key.toString() in own
    ]
    assert own
    assert taken == []
