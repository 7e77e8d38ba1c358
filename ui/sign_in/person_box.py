"""The list of those who can answer: looked through without choosing."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QEvent, QObject, Qt
from PySide6.QtGui import QKeyEvent

from ui.widgets.choice_box import ChoiceBox

_LOOKING = (Qt.Key.Key_PageUp, Qt.Key.Key_PageDown, Qt.Key.Key_Home, Qt.Key.Key_End)
_GOING_ON = (Qt.Key.Key_Return, Qt.Key.Key_Enter)


class PersonBox(ChoiceBox):
    """Arrows and letters open the list and move in it; Enter or Tab chooses and goes ``on``."""

    def __init__(self, name: str, on: Callable[[], None]) -> None:
        super().__init__(name)
        self._on = on
        self.view().installEventFilter(self)
        self.activated.connect(lambda _: on())

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Open the list for whatever moves in it."""
        if event.key() in _GOING_ON:
            self._on()
        elif event.key() in _LOOKING:
            self.showPopup()
        elif event.text().strip() and not event.modifiers() & Qt.KeyboardModifier.ControlModifier:
            self.showPopup()
            self.view().keyboardSearch(event.text())
        else:
            super().keyPressEvent(event)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Let Tab choose in the open list as Enter does."""
        pressed = event if event.type() == QEvent.Type.KeyPress else None
        if isinstance(pressed, QKeyEvent) and pressed.key() == Qt.Key.Key_Tab:
            self.setCurrentIndex(self.view().currentIndex().row())
            self.hidePopup()
            self._on()
            return True
        return super().eventFilter(watched, event)
