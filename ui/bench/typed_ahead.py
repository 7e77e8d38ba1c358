"""What is typed while an act is under way: kept until it is known where that belongs."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QEvent, QObject, Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QWidget

_GOING_ON = (Qt.Key.Key_Return, Qt.Key.Key_Enter, Qt.Key.Key_Tab, Qt.Key.Key_Backtab)
_SHIFTED = Qt.KeyboardModifier.ShiftModifier | Qt.KeyboardModifier.KeypadModifier


class TypedAhead(QObject):
    """Holds back what is typed into a widget as long as an act runs.

    Enter isn't kept: it would confirm something that nobody has seen yet.
    """

    def __init__(self, runs: Callable[[], bool], parent: QObject) -> None:
        super().__init__(parent)
        self._runs = runs
        self._text = ""

    def listen(self, at: QWidget | None) -> None:
        """Hold back what is typed there from now on."""
        if at is not None:
            at.installEventFilter(self)

    def take(self) -> str:
        """Return what was typed since, and forget it."""
        text, self._text = self._text, ""
        return text

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Keep a character, or take the last one back."""
        if not isinstance(event, QKeyEvent) or not self._runs() or not _is_plain(event):
            return super().eventFilter(watched, event)
        if event.type() == QEvent.Type.ShortcutOverride:
            event.accept()
            return True
        if event.type() == QEvent.Type.KeyPress:
            self._keep(event)
        return True

    def _keep(self, event: QKeyEvent) -> None:
        if event.key() == Qt.Key.Key_Backspace:
            self._text = self._text[:-1]
        elif event.text().isprintable():
            self._text += event.text()


def _is_plain(event: QKeyEvent) -> bool:
    """Whether a key types, or goes on; shortcuts and Esc are left to the window."""
    if event.modifiers() & ~_SHIFTED:
        return False
    typed = bool(event.text()) and event.text().isprintable()
    return typed or event.key() in (*_GOING_ON, Qt.Key.Key_Backspace)
