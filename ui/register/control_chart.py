"""One measure of a formula's preparations over time, with its control limits."""

from __future__ import annotations

from fractions import Fraction

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPolygonF

from formulary.catalogue import Catalogue
from formulary.messages import message
from formulary.register.series import Series
from ui import signs, theme
from ui.calculations.pictures.picture import pen, size_for, write

HEIGHT, ABOVE, BELOW, LEFT, RIGHT = 180, 16, 28, 16, 88
STEP = Fraction(1, 100)
"""As figures are read: to 0.01 per cent or minute."""


class ControlChart:
    """Paints a series: a line from batch to batch, its centre and limits, what lies outside."""

    def __init__(self, series: Series, catalogue: Catalogue) -> None:
        self._series, self._catalogue = series, catalogue
        self._values = [each.value for each in series.figures]
        limits = series.limits
        ends = (limits.lower, limits.centre, limits.upper) if limits is not None else ()
        low, high = min((*self._values, *ends)), max((*self._values, *ends))
        room = (high - low) / 10 or Fraction(1)
        self._low, self._high = low - room, high + room
        self.height = HEIGHT

    def said(self) -> str:
        """Return the chart in words: the latest figure, the limits, and what lies outside."""
        text, series = self._catalogue.text, self._series
        parts = [
            text(
                message(
                    "ui_register.charts.latest",
                    value=_read(self._values[-1]),
                    lot=series.figures[-1].lot,
                    n=len(self._values),
                )
            )
        ]
        limits = series.limits
        if limits is None:
            parts.append(text(message("ui_register.charts.too_few")))
        else:
            key = "provisional" if limits.provisional else "limits"
            ends = {"lower": _read(limits.lower), "upper": _read(limits.upper)}
            centre = _read(limits.centre)
            parts.append(text(message(f"ui_register.charts.{key}", centre=centre, **ends)))
        if series.outside:
            lots = tuple(each.lot for each in series.outside)
            parts.append(text(message("ui_register.charts.outside", n=len(lots), lots=lots)))
        return " ".join(parts)

    def paint(self, painter: QPainter, area: QRectF) -> None:
        """Paint the limits, then the line, then the points with their signs."""
        inner = area.adjusted(theme.px(LEFT), theme.px(ABOVE), -theme.px(RIGHT), -theme.px(BELOW))
        self._paint_limits(painter, inner)
        points = [self._point(inner, place) for place in range(len(self._values))]
        painter.setPen(pen(theme.colours().ink, 1.5))
        painter.drawPolyline(QPolygonF(points))
        self._paint_points(painter, points)
        self._paint_days(painter, inner)

    def _point(self, inner: QRectF, place: int) -> QPointF:
        steps = max(len(self._values) - 1, 1)
        return QPointF(
            inner.x() + inner.width() * place / steps, self._down(inner, self._values[place])
        )

    def _down(self, inner: QRectF, value: Fraction) -> float:
        return inner.bottom() - inner.height() * float(
            (value - self._low) / (self._high - self._low)
        )

    def _paint_limits(self, painter: QPainter, inner: QRectF) -> None:
        limits, colours = self._series.limits, theme.colours()
        if limits is None:
            return
        dashed, solid = Qt.PenStyle.DashLine, Qt.PenStyle.SolidLine
        for value, style in (
            (limits.upper, dashed),
            (limits.centre, solid),
            (limits.lower, dashed),
        ):
            down = self._down(inner, value)
            painter.setPen(pen(colours.edge, 1, style))
            painter.drawLine(QPointF(inner.x(), down), QPointF(inner.right(), down))
            size_for(painter, theme.Size.NOTE, colours.quiet)
            figure = self._catalogue.written(_read(value))
            at = QPointF(inner.right() + theme.px(12), down)
            write(painter, at, figure, Qt.AlignmentFlag.AlignLeft)

    def _paint_points(self, painter: QPainter, points: list[QPointF]) -> None:
        outside = {each.lot for each in self._series.outside}
        dot, side = theme.px(3), theme.px(14)
        for figure, point in zip(self._series.figures, points, strict=True):
            if figure.lot in outside:
                box = QRectF(point.x() - side / 2, point.y() - side / 2, side, side)
                painter.setPen(Qt.PenStyle.NoPen)
                painter.setBrush(QColor(theme.colours().paper))
                painter.drawEllipse(box)
                signs.paint(painter, signs.Sign.OCTAGON, box)
            else:
                painter.setPen(Qt.PenStyle.NoPen)
                painter.setBrush(QColor(theme.colours().ink))
                painter.drawEllipse(point, dot, dot)

    def _paint_days(self, painter: QPainter, inner: QRectF) -> None:
        figures, down = self._series.figures, inner.bottom() + theme.px(BELOW) / 2
        size_for(painter, theme.Size.NOTE, theme.colours().quiet)
        first = self._catalogue.written(figures[0].made_on)
        write(painter, QPointF(inner.x(), down), first, Qt.AlignmentFlag.AlignLeft)
        if len(figures) > 1:
            last = self._catalogue.written(figures[-1].made_on)
            write(painter, QPointF(inner.right(), down), last, Qt.AlignmentFlag.AlignRight)


def _read(value: Fraction) -> Fraction:
    return Fraction(round(value / STEP)) * STEP
