"""A line that tells whether what is in it was scanned: a scanner types faster than a hand."""

from __future__ import annotations

from collections.abc import Callable
from time import monotonic_ns

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QLineEdit

from formulary.bench.scanning import USUAL_GAP_MS, is_scanned

_ENTER = (Qt.Key.Key_Return, Qt.Key.Key_Enter)
_MS = 1_000_000
Moment = Callable[[QKeyEvent], int]


def pressed_at(event: QKeyEvent) -> int:
    """Return when a key was pressed, in ms, by the system that had it; else now."""
    return event.timestamp() or monotonic_ns() // _MS


class ScanEdit(QLineEdit):
    """A line edit; ``scanned`` tells how its text came in since it was last empty.

    ``most_gap_ms`` is the house's longest time between two characters of a scanner, ``moment``
    what says when a key was pressed.
    """

    def __init__(
        self, name: str, most_gap_ms: int = USUAL_GAP_MS, moment: Moment = pressed_at
    ) -> None:
        super().__init__()
        self.setAccessibleName(name)
        self.moment = moment
        self._most_gap_ms = most_gap_ms
        self._moments: list[int] = []

    @property
    def scanned(self) -> bool:
        """Whether every character and Enter came in faster than anybody types."""
        whole = len(self._moments) == len(self.text()) + 1
        return whole and is_scanned(self._moments, self._most_gap_ms)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Note when each character and Enter came; any other key is a hand's."""
        if not self.text():
            self._moments = []
        if event.key() in _ENTER or (event.text() and event.text().isprintable()):
            self._moments.append(self.moment(event))
        super().keyPressEvent(event)
