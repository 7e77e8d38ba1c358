"""Fixtures of the page of formulas."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QComboBox, QWidget
from pytestqt.qtbot import QtBot

from ui.formulas.page import FormulasPage
from ui.window import Window

Find = Callable[[str], None]


@pytest.fixture
def page(window: Window) -> FormulasPage:
    """Return the page of formulas."""
    page = window.pages["formulas"]
    assert isinstance(page, FormulasPage)
    return page


@pytest.fixture
def find(qtbot: QtBot, page: FormulasPage, settle: Callable[[], None]) -> Find:
    """Return what searches for words by the keyboard and waits for the answer."""

    def search_for(words: str) -> None:
        page.search.setFocus()
        page.search.selectAll()
        QTest.keyClicks(page.search, words)
        qtbot.waitUntil(lambda: not page._pause.isActive())
        settle()

    return search_for


def press(keys: Qt.Key, modifier: Qt.KeyboardModifier | None = None) -> None:
    """Press a key where the focus is."""
    widget = focused()
    QTest.keyClick(widget, keys, modifier or Qt.KeyboardModifier.NoModifier)


def choose_next() -> None:
    """Choose the second of the list with the focus by its first letter."""
    box = focused()
    assert isinstance(box, QComboBox)
    QTest.keyClicks(box, box.itemText(1)[0])
    assert box.currentIndex() == 1


def choose_first() -> None:
    """Open the list with the focus and take the first of it."""
    box = focused()
    assert isinstance(box, QComboBox)
    listed = box.view()
    for key, at in ((Qt.Key.Key_Down, box), (Qt.Key.Key_Home, listed), (Qt.Key.Key_Return, listed)):
        QTest.keyClick(at, key)


def focused() -> QWidget:
    """Return the widget with the focus."""
    widget = QApplication.focusWidget()
    assert widget is not None
    return widget
