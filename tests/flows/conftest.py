"""Fixtures of whole jobs: the window on a copy of the sample pharmacy, and counted keys."""

from __future__ import annotations

from dataclasses import dataclass

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QAbstractButton, QAbstractItemView, QApplication, QComboBox, QWidget
from pytestqt.qtbot import QtBot

from tests.ui.conftest import (
    house_file,
    look,
    opened,
    refusals,
    settle,
    settled,
    window,
)
from ui.window import Window

__all__ = ["house_file", "look", "opened", "refusals", "settle", "window"]

CTRL = Qt.KeyboardModifier.ControlModifier
SHIFT = Qt.KeyboardModifier.ShiftModifier
MOST_TABS = 24
"""Whoever presses Tab so often without coming to a field gives up."""


@dataclass
class Keyboard:
    """Presses keys where the focus is, as a person does, and counts them."""

    qtbot: QtBot
    window: Window
    count: int = 0

    def press(self, key: Qt.Key, modifier: Qt.KeyboardModifier | None = None) -> None:
        """Press one key, with its modifier one stroke, and let the window answer."""
        QTest.keyClick(self.focused(), key, modifier or Qt.KeyboardModifier.NoModifier)
        self.count += 1
        settled(self.qtbot, self.window)

    def type(self, text: str, *, counted: bool = True) -> None:
        """Type a text and let the window answer."""
        QTest.keyClicks(self.focused(), text)
        self.count += len(text) if counted else 0
        settled(self.qtbot, self.window)

    def tab_to(self, name: str, *, back: bool = False) -> None:
        """Press Tab, or Shift and Tab, until the focus is where a screen reader says this."""
        passed = []
        for _ in range(MOST_TABS):
            if back:
                self.press(Qt.Key.Key_Tab, SHIFT)
            else:
                self.press(Qt.Key.Key_Tab)
            passed.append(self._name())
            if passed[-1] == name:
                return
        raise AssertionError(f"Tab never came to {name!r}, only to {passed}")

    def fill_in(self, name: str, text: str) -> None:
        """Go on to a field and type into it."""
        self.tab_to(name)
        self.type(text)

    def choose(self, text: str) -> None:
        """Go through the list at hand until a line is the current one."""
        box = self.focused()
        closed = isinstance(box, QComboBox)
        if closed:
            self.press(Qt.Key.Key_Down)
        self.press(Qt.Key.Key_Home)
        while (before := self._current()) != text:
            self.press(Qt.Key.Key_Down)
            assert self._current() != before, f"{text!r} isn't in the list"
        if closed:
            self.press(Qt.Key.Key_Return)
            QApplication.processEvents()

    def focused(self) -> QWidget:
        """Return the widget that the keys go to: what popped up comes first."""
        popup, widget = QApplication.activePopupWidget(), QApplication.focusWidget()
        assert widget is not None
        return widget if popup is None or popup.isAncestorOf(widget) else popup

    def _name(self) -> str:
        found = self.focused()
        own_words = found.text() if isinstance(found, QAbstractButton) else ""
        return found.accessibleName() or own_words

    def _current(self) -> str:
        found = self.focused()
        if isinstance(found, QComboBox):
            return found.currentText()
        assert isinstance(found, QAbstractItemView)
        return str(found.currentIndex().data())


@pytest.fixture
def keyboard(qtbot: QtBot, window: Window) -> Keyboard:
    """Return the keyboard at the window."""
    return Keyboard(qtbot, window)
