"""Locks the desk when nobody touched keyboard or mouse for the house's time; reading goes on."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QObject, Qt, QTimer
from PySide6.QtWidgets import QWidget

from ui.context import Context

_TOUCHES = (QEvent.Type.KeyPress, QEvent.Type.MouseButtonPress, QEvent.Type.Wheel)
_MS_IN_MINUTE = 60_000


class AutoLock(QObject):
    """Counts from the last touch; nothing that runs is stopped by locking."""

    def __init__(self, context: Context, window: QWidget) -> None:
        super().__init__(window)
        self._context, self._window = context, window
        self.timer = QTimer(self, singleShot=True, timerType=Qt.TimerType.PreciseTimer)
        self.timer.timeout.connect(context.lock)
        context.opened.connect(self._begin)
        context.seated.connect(self._begin)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Begin to count anew with each touch."""
        if event.type() in _TOUCHES and self.timer.isActive():
            self.timer.start()
        return super().eventFilter(watched, event)

    def _begin(self) -> None:
        minutes = self._context.house.lock_minutes
        if not minutes or not self._context.signed_in:
            self.timer.stop()
            return
        # What comes from keyboard and mouse passes here once; the application sees every event.
        handle = self._window.windowHandle()
        if handle is not None:
            handle.installEventFilter(self)
        self.timer.start(minutes * _MS_IN_MINUTE)
