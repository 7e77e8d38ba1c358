"""The keys come back to the window when a question before it closes.

Most desktops see to that. Without a window manager nobody does: no window is active then, and
every key is lost.
"""

from __future__ import annotations

from PySide6.QtCore import QObject, QTimer
from PySide6.QtGui import QGuiApplication, QWindow
from PySide6.QtWidgets import QApplication, QWidget
from shiboken6 import isValid


class ComingBack(QObject):
    """Makes the window active again where what had the keys is gone, and nothing else has them.

    Whoever goes on to another program leaves a window that is still there: that is left alone.
    """

    def __init__(self, window: QWidget) -> None:
        super().__init__(window)
        self._window = window
        self._in_front: QWindow | None = None
        application = QApplication.instance()
        if isinstance(application, QGuiApplication):
            application.focusWindowChanged.connect(self._follow)

    def _follow(self, now: QWindow | None) -> None:
        """Notice when the window that has the keys now goes; not every one is told of later."""
        before = self._in_front
        if now is None or now is before:
            return
        if before is not None and isValid(before):
            before.visibleChanged.disconnect(self._seen)
        self._in_front = now
        now.visibleChanged.connect(self._seen)

    def _seen(self, visible: bool) -> None:  # noqa: FBT001  Qt gives it
        if not visible:
            QTimer.singleShot(0, self, self._come_back)

    def _come_back(self) -> None:
        if QApplication.activeWindow() is None and self._window.isVisible():
            (QApplication.activeModalWidget() or self._window).activateWindow()
