"""A window on a house, and the keys of somebody in front of it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import TypeVar

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeySequence
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QWidget
from pytestqt.qtbot import QtBot

from formulary.people import Person
from tests.ui.at_desk import plain
from ui.context import Context, SigningIn
from ui.opening import Opening
from ui.others import Others
from ui.sign_in.dialog import PinDialog
from ui.window import Window

PATIENCE_MS = 30_000
P = TypeVar("P", bound=QWidget)


@dataclass
class InFront:
    """Somebody in front of a window, by keys alone."""

    window: Window
    qtbot: QtBot

    def wait(self, until: Callable[[], object]) -> None:
        self.qtbot.waitUntil(lambda: bool(until()), timeout=PATIENCE_MS)

    def settled(self) -> None:
        """Wait until nothing is under way."""
        self.wait(lambda: not self.window.context.operations.busy)
        QApplication.processEvents()
        self.wait(lambda: not self.window.context.operations.busy)

    def page(self, kind: type[P]) -> P:
        """Wait for a page in front of all others and return it."""
        self.wait(lambda: isinstance(self.window.stack.currentWidget(), kind))
        found = self.window.stack.currentWidget()
        assert isinstance(found, kind)
        return found

    def focused(self) -> QWidget:
        found = QApplication.focusWidget() or self.window.focusWidget()
        assert found is not None
        return found

    def press(self, keys: str) -> None:
        """Press one stroke, such as Ctrl+Shift+R, where the focus is."""
        QTest.keySequence(self.focused(), QKeySequence(keys))

    def type(self, text: str) -> None:
        QTest.keyClicks(self.focused(), text)

    def question(self) -> PinDialog:
        """Wait for the question for a PIN."""
        self.wait(lambda: self.window.findChildren(PinDialog))
        return self.window.findChildren(PinDialog)[0]

    def answer(self, pin: str) -> PinDialog:
        """Type a PIN into the question for it."""
        asked = self.question()
        QTest.keyClicks(asked.pin, pin)
        QTest.keyClick(asked.pin, Qt.Key.Key_Return)
        self.settled()
        return asked

    def signs_in(self, person: Person, pin: str) -> None:
        """Let somebody sign in."""
        self.window.context.sign_in_wanted.emit(SigningIn(person.id))
        self.answer(pin)

    def refused(self) -> str:
        """Return what the bar says."""
        return plain(self.window.speech.refusal())

    def told(self) -> str:
        """Return what the quiet line says."""
        return plain(self.window.speech.news())


def begun(qtbot: QtBot, location: Path | str) -> InFront:
    """Start a window on a place; without one it is what was open last."""
    window = Window(Context("en"))
    qtbot.addWidget(window)
    window.resize(1280, 800)
    window.show_empty()
    with qtbot.waitActive(window):
        window.show()
        window.activateWindow()
    Others(window.context)
    Opening(window, str(location)).begin()
    return InFront(window, qtbot)


def at_work(qtbot: QtBot, location: Path | str) -> InFront:
    """Start a window and wait until the house is open."""
    front = begun(qtbot, location)
    front.wait(lambda: front.window.context.is_open)
    front.settled()
    return front
