"""Fixtures of whole jobs: the window on a copy of the sample pharmacy, and counted keys."""

from __future__ import annotations

from dataclasses import dataclass

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QWidget
from pytestqt.qtbot import QtBot

from tests.ui.conftest import (
    house_file,
    look,
    opened,
    refusals,
    sample_file,
    settle,
    settled,
    window,
)
from ui.window import Window

__all__ = ["house_file", "look", "opened", "refusals", "sample_file", "settle", "window"]

CTRL = Qt.KeyboardModifier.ControlModifier


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

    def focused(self) -> QWidget:
        """Return the widget with the focus."""
        widget = QApplication.focusWidget()
        assert widget is not None
        return widget


@pytest.fixture
def keyboard(qtbot: QtBot, window: Window) -> Keyboard:
    """Return the keyboard at the window."""
    return Keyboard(qtbot, window)
