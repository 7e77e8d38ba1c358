"""A scan that comes while a button has the focus: its Enter presses nothing."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QObject, Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QPushButton

_ENTER = (Qt.Key.Key_Return, Qt.Key.Key_Enter)
_SHIFTED = Qt.KeyboardModifier.ShiftModifier | Qt.KeyboardModifier.KeypadModifier


class StrayScan(QObject):
    """Keeps what is typed into buttons; ``ended`` tells it when Enter comes.

    Nobody types into a button. Whether a scanner or a hand did it, the Enter after it was meant
    for a field, and must not confirm what the button says.
    """

    ended = Signal(str)

    def __init__(self, parent: QObject) -> None:
        super().__init__(parent)
        self._text = ""

    def watch(self, button: QPushButton) -> None:
        """Keep what is typed into a button from now on."""
        button.installEventFilter(self)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Keep a character, and take the Enter that ends a text away from the button."""
        if event.type() == QEvent.Type.FocusOut:
            self._text = ""
        if isinstance(event, QKeyEvent) and event.type() == QEvent.Type.KeyPress:
            return self._took(event)
        return super().eventFilter(watched, event)

    def _took(self, event: QKeyEvent) -> bool:
        """Take a key, unless the button is pressed by it."""
        if event.modifiers() & ~_SHIFTED:
            return False
        if event.key() in _ENTER:
            text, self._text = self._text, ""
            if text:
                self.ended.emit(text)
            return bool(text)
        typed = event.text() if event.text().isprintable() else ""
        # A space by itself presses a button.
        self._text += typed if self._text else typed.lstrip()
        return bool(self._text and typed)
