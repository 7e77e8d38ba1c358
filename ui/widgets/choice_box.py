"""A list to choose from that a turning wheel never changes unseen."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QPointF, Qt
from PySide6.QtGui import QColor, QPainter, QPaintEvent, QPen, QPolygonF, QWheelEvent
from PySide6.QtWidgets import QComboBox

from ui import theme


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

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint the box, then the sign that it opens downwards."""
        super().paintEvent(event)
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setPen(QPen(QColor(theme.colours().ink), theme.px(1.5)))
        side, middle = theme.px(4), self.height() / 2
        right = self.width() - theme.px(14)
        points = [QPointF(right + step * side, middle + drop) for step, drop in _chevron(side)]
        painter.drawPolyline(QPolygonF(points))

    def wheelEvent(self, event: QWheelEvent) -> None:
        """Leave the wheel to the page unless this has the focus."""
        if self.hasFocus():
            super().wheelEvent(event)
        else:
            event.ignore()


def _chevron(side: int) -> tuple[tuple[int, float], ...]:
    return ((-1, -side / 2), (0, side / 2), (1, -side / 2))
