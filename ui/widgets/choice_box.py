"""A list to choose from that a turning wheel never changes unseen."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Qt
from PySide6.QtGui import QWheelEvent
from PySide6.QtWidgets import QComboBox


class ChoiceBox(QComboBox):
    """A combo box; the wheel turns it only while it has the focus."""

    def __init__(self, name: str) -> None:
        super().__init__()
        self.setAccessibleName(name)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setSizeAdjustPolicy(self.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
        self.setMinimumContentsLength(8)

    def fill(self, choices: Sequence[tuple[str, object]]) -> None:
        """Offer texts, each with what it stands for; what was chosen stays chosen."""
        before = self.currentData()
        self.blockSignals(True)
        self.clear()
        for text, value in choices:
            self.addItem(text, value)
        self.blockSignals(False)
        self.choose(before)

    def choose(self, value: object) -> None:
        """Choose what stands for a value, the first where none does; nobody is told."""
        values = [self.itemData(position) for position in range(self.count())]
        self.blockSignals(True)
        self.setCurrentIndex(values.index(value) if value in values else min(0, self.count() - 1))
        self.blockSignals(False)

    def wheelEvent(self, event: QWheelEvent) -> None:
        """Leave the wheel to the page unless this has the focus."""
        if self.hasFocus():
            super().wheelEvent(event)
        else:
            event.ignore()
