"""Which key goes first: the window's own keys before the editing keys of the field in use.

A text field takes Ctrl+E, Ctrl+K and others for moving its cursor, on some desktops only; then the
key that a button shows would do nothing.
"""

from __future__ import annotations

from collections.abc import Iterator

from PySide6.QtCore import QEvent, QObject, Qt
from PySide6.QtGui import QAction, QKeyEvent, QKeySequence
from PySide6.QtWidgets import QApplication, QMainWindow, QWidget

from ui.speech import Speech

_CTRL = Qt.KeyboardModifier.ControlModifier
_EDITING = frozenset(
    QKeySequence(_CTRL | key)
    for key in (
        *(Qt.Key.Key_C, Qt.Key.Key_V, Qt.Key.Key_X, Qt.Key.Key_A, Qt.Key.Key_Z, Qt.Key.Key_Y),
        *(Qt.Key.Key_Left, Qt.Key.Key_Right, Qt.Key.Key_Up, Qt.Key.Key_Down),
        *(Qt.Key.Key_Home, Qt.Key.Key_End, Qt.Key.Key_Backspace, Qt.Key.Key_Delete),
    )
)
"""What everybody expects a field to do with Ctrl."""


OVERLAY = "overlay"
"""The name of what lies over the page."""


class WindowKeys(QObject):
    """Listens at whatever has the focus in a window; Esc answers what is topmost."""

    def __init__(self, window: QMainWindow, speech: Speech) -> None:
        super().__init__(window)
        self._window, self._speech = window, speech
        application = QApplication.instance()
        if isinstance(application, QApplication):
            application.focusChanged.connect(self._follow)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Keep a key from the field where it belongs to the window."""
        if not isinstance(event, QKeyEvent) or not isinstance(watched, QWidget):
            return super().eventFilter(watched, event)
        if event.key() == Qt.Key.Key_Escape and self._speech.refusal() and not _lies_over(watched):
            return self._take_refusal_away(event)
        if event.type() == QEvent.Type.ShortcutOverride and _is_ours(watched, event):
            event.ignore()
            return True
        return super().eventFilter(watched, event)

    def _follow(self, _: QWidget | None, now: QWidget | None) -> None:
        """Listen where the focus is now; where it was, no key arrives."""
        if now is not None and self._window.isAncestorOf(now):
            now.installEventFilter(self)

    def _take_refusal_away(self, event: QKeyEvent) -> bool:
        """Take Esc from every shortcut, and the refusal away as it is pressed."""
        event.accept()
        if event.type() == QEvent.Type.KeyPress:
            self._speech.understand()
        return True


def _lies_over(field: QWidget) -> bool:
    """Whether a field is in what lies over the page, which Esc puts away first."""
    around: QWidget | None = field
    while around is not None and not around.isWindow():
        if around.objectName() == OVERLAY:
            return True
        around = around.parentWidget()
    return False


def _is_ours(field: QWidget, event: QKeyEvent) -> bool:
    """Whether an action in reach of the field has this key, and no field should."""
    if not event.modifiers() & _CTRL:
        return False
    pressed = QKeySequence(event.keyCombination())
    return pressed not in _EDITING and any(
        pressed in each.shortcuts() for each in _in_reach(field) if each.isEnabled()
    )


def _in_reach(field: QWidget) -> Iterator[QAction]:
    """Yield the actions of a field and of everything around it."""
    around: QWidget | None = field
    while around is not None:
        yield from around.actions()
        around = None if around.isWindow() else around.parentWidget()
