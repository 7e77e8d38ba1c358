"""A picture on the page: something that can paint itself into a width and say what it shows."""

from __future__ import annotations

from typing import Protocol

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QSizePolicy, QWidget

from ui import theme

MOST_WIDTH = 560


class Drawing(Protocol):
    """What can be painted; ``height`` is in pixels of the grid, at the type's own size."""

    height: int

    def said(self) -> str:
        """Return what the picture shows, in words."""

    def paint(self, painter: QPainter, area: QRectF) -> None:
        """Paint into the area, in the colours of the moment."""


class Picture(QWidget):
    """Shows one drawing; without one it takes no room."""

    def __init__(self, name: str) -> None:
        super().__init__()
        self.setAccessibleName(name)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self._drawing: Drawing | None = None
        self.hide()

    def show_drawing(self, drawing: Drawing | None) -> None:
        """Show a drawing, or none."""
        self._drawing = drawing
        said = drawing.said() if drawing is not None else ""
        self.setAccessibleDescription(said)
        self.setToolTip(said)
        self.setVisible(drawing is not None)
        self.updateGeometry()
        self.update()

    def sizeHint(self) -> QSize:
        """Return the height that the drawing asks for."""
        height = self._drawing.height if self._drawing is not None else 0
        return QSize(theme.px(320), theme.px(height))

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint the drawing."""
        if self._drawing is None:
            return
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        width = min(self.width(), theme.px(MOST_WIDTH))
        self._drawing.paint(painter, QRectF(0, 0, width, self.height()))
        painter.end()


def pen(colour: str, width: float = 1.5, style: Qt.PenStyle = Qt.PenStyle.SolidLine) -> QPen:
    """Return a pen; its width grows with the type."""
    made = QPen(QColor(colour), width * theme.factor(), style)
    made.setCapStyle(Qt.PenCapStyle.RoundCap)
    made.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
    return made


def write(
    painter: QPainter,
    at: QPointF,
    text: str,
    align: Qt.AlignmentFlag = Qt.AlignmentFlag.AlignHCenter,
) -> None:
    """Write a line of text around a point: left of it, centred on it or right of it."""
    metrics = painter.fontMetrics()
    width, tall = metrics.horizontalAdvance(text) + 2, metrics.height()
    shift = {Qt.AlignmentFlag.AlignHCenter: 0.5, Qt.AlignmentFlag.AlignRight: 1.0}.get(align, 0.0)
    box = QRectF(at.x() - width * shift, at.y() - tall / 2, width, tall)
    painter.drawText(box, Qt.AlignmentFlag.AlignCenter, text)


def size_for(painter: QPainter, size: theme.Size, colour: str, *, bold: bool = False) -> None:
    """Set the type and ink for what is written next."""
    painter.setFont(theme.font(size, bold=bold))
    painter.setPen(QColor(colour))
