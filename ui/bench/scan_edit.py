"""A line that knows whether its text was scanned: no hand types as fast as a scanner."""

from __future__ import annotations

from PySide6.QtCore import QElapsedTimer
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QLineEdit

MOST_MS_A_KEY = 35
"""A scanner sends a character every few milliseconds; a fast typist needs a hundred."""
FEWEST_KEYS = 4


class ScanEdit(QLineEdit):
    """A line edit; ``scanned`` tells how its text came in since it was last empty."""

    def __init__(self, name: str) -> None:
        super().__init__()
        self.setAccessibleName(name)
        self._since_first = QElapsedTimer()
        self._keys = 0
        self._last_ms = 0

    @property
    def scanned(self) -> bool:
        """Whether the text came in faster than anybody types."""
        quick = self._last_ms <= MOST_MS_A_KEY * max(self._keys - 1, 1)
        return self._keys >= FEWEST_KEYS and self._keys >= len(self.text()) and quick

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Time each character."""
        if event.text().isprintable() and event.text():
            if not self.text() or not self._since_first.isValid():
                self._since_first.start()
                self._keys = 0
            self._keys += 1
            self._last_ms = self._since_first.elapsed()
        super().keyPressEvent(event)
