"""The ground on which a label is seen at true size, with a ruler on demand."""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QImage, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QWidget

from formulary.labels.raster import Raster
from ui import theme

MARGIN = 32
RULER = 28
LEAST_LENGTH_MM = 100
MM_PER_TICK, MM_PER_FIGURE = 1, 10


def image_of(raster: Raster) -> QImage:
    """Return a raster as a picture of its own."""
    seen = QImage(
        raster.pixels,
        raster.width,
        raster.height,
        raster.stride,
        QImage.Format.Format_Grayscale8,
    )
    return seen.copy()


class Canvas(QWidget):
    """Shows one label; the paper is white, whatever the window's colours."""

    def __init__(self, name: str) -> None:
        super().__init__()
        self.setAccessibleName(name)
        self.image = QImage()
        self._size_mm = (0.0, 0.0)
        self._dots_per_mm = 1.0
        self.ruled = False

    def show_label(self, raster: Raster, size_mm: tuple[float, float], dots_per_mm: float) -> None:
        """Show a label; ``dots_per_mm`` counts this widget's pixels."""
        self.image = image_of(raster)
        self._size_mm, self._dots_per_mm = size_mm, dots_per_mm
        self._settle()

    def clear(self) -> None:
        """Show no label."""
        self.image = QImage()
        self._settle()

    def show_ruler(self, shown: bool) -> None:  # noqa: FBT001 - a setter
        """Show or hide the rulers along two sides."""
        self.ruled = shown
        self._settle()

    def sizeHint(self) -> QSize:
        """Return the room for the label, its ground and the ruler."""
        width_mm, height_mm = self._size_mm
        if self.ruled:
            width_mm = max(width_mm, LEAST_LENGTH_MM)
        around = 2 * theme.px(MARGIN) + self._ruler_width()
        return QSize(
            round(width_mm * self._dots_per_mm) + around,
            round(height_mm * self._dots_per_mm) + around,
        )

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint the label with its edge, and the rulers."""
        if self.image.isNull():
            return
        painter = QPainter(self)
        face = self._face()
        painter.setRenderHint(QPainter.RenderHint.SmoothPixmapTransform)
        painter.drawImage(face, self.image)
        painter.setPen(QPen(QColor(theme.colours().edge), 1))
        painter.drawRect(face.adjusted(-0.5, -0.5, 0.5, 0.5))
        if self.ruled:
            self._paint_rulers(painter, face)
        painter.end()

    def _settle(self) -> None:
        self.setMinimumSize(self.sizeHint())
        self.updateGeometry()
        self.update()

    def _ruler_width(self) -> int:
        return theme.px(RULER) if self.ruled else 0

    def _face(self) -> QRectF:
        width = self._size_mm[0] * self._dots_per_mm
        height = self._size_mm[1] * self._dots_per_mm
        ruler = self._ruler_width()
        least = theme.px(MARGIN) + ruler
        length = max(width, LEAST_LENGTH_MM * self._dots_per_mm if self.ruled else 0)
        left = max(float(least), (self.width() - length + ruler) / 2)
        top = float(least)
        return QRectF(round(left), round(top), width, height)

    def _paint_rulers(self, painter: QPainter, face: QRectF) -> None:
        painter.setPen(QPen(QColor(theme.colours().ink), 1))
        painter.setFont(theme.font(theme.Size.NOTE))
        gap = theme.px(8)
        self._paint_ruler(
            painter, QPointF(face.left(), face.top() - gap), self._size_mm[0], across=True
        )
        self._paint_ruler(
            painter, QPointF(face.left() - gap, face.top()), self._size_mm[1], across=False
        )

    def _paint_ruler(
        self, painter: QPainter, start: QPointF, least_mm: float, *, across: bool
    ) -> None:
        length_mm = int(max(least_mm, LEAST_LENGTH_MM)) if across else int(least_mm)
        for at_mm in range(0, length_mm + 1, MM_PER_TICK):
            tall = 10 if at_mm % MM_PER_FIGURE == 0 else 7 if at_mm % 5 == 0 else 4
            along, out = at_mm * self._dots_per_mm, theme.px(tall)
            end = QPointF(along, -out) if across else QPointF(-out, along)
            foot = QPointF(along, 0) if across else QPointF(0, along)
            painter.drawLine(start + foot, start + end)
            if at_mm % MM_PER_FIGURE == 0:
                self._paint_figure(painter, start + end, str(at_mm), across=across)

    def _paint_figure(self, painter: QPainter, at: QPointF, figure: str, *, across: bool) -> None:
        side = theme.px(28)
        align = Qt.AlignmentFlag
        if across:
            box = QRectF(at.x() - side / 2, at.y() - side, side, side)
            painter.drawText(box, align.AlignHCenter | align.AlignBottom, figure)
        else:
            box = QRectF(at.x() - side - 2, at.y() - side / 2, side, side)
            painter.drawText(box, align.AlignRight | align.AlignVCenter, figure)
