"""A horizontal scale centred on a target, the tolerance as a plain area, the reading as a line."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QPainter, QPaintEvent, QPen, QPolygonF
from PySide6.QtWidgets import QSizePolicy, QWidget

from ui import signs, theme

HEIGHT, BAR, SIDE = 92, 28, 72
BANDS = Fraction(3)
"""The scale reaches so many tolerances to either side."""


@dataclass(frozen=True, slots=True)
class Gauge:
    """A scale centred on a target: all in the target's unit.

    ``low`` to ``high`` is right; ``reading`` is None before the first. ``said`` is the verdict.
    """

    target: Fraction
    low: Fraction
    high: Fraction
    reading: Fraction | None
    figure: str
    ends: tuple[str, str, str]
    said: str
    sign: signs.Sign


class GaugeView(QWidget):
    """Draws a gauge; its verdict is read out by a screen reader too."""

    def __init__(self) -> None:
        super().__init__()
        self._gauge: Gauge | None = None
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)

    def show_gauge(self, gauge: Gauge | None) -> None:
        """Draw a gauge, or nothing."""
        self._gauge = gauge
        self.setVisible(gauge is not None)
        self.setAccessibleName(gauge.said if gauge is not None else "")
        self.setToolTip(gauge.said if gauge is not None else "")
        self.update()

    def sizeHint(self) -> QSize:
        """Return the room that scale and figures need."""
        return QSize(theme.px(400), theme.px(HEIGHT))

    def paintEvent(self, _: QPaintEvent) -> None:
        """Paint band, target, reading and figures."""
        gauge = self._gauge
        if gauge is None:
            return
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        side = theme.px(SIDE)
        bar = QRectF(side, theme.px(32), self.width() - 2 * side, theme.px(BAR))
        self._paint_scale(painter, gauge, bar)
        if gauge.reading is not None:
            self._paint_reading(painter, gauge, bar)

    def _paint_scale(self, painter: QPainter, gauge: Gauge, bar: QRectF) -> None:
        colours = theme.colours()
        painter.setPen(QPen(QColor(colours.edge), 1))
        painter.setBrush(QColor(colours.paper))
        painter.drawRect(bar)
        low, high = (at(gauge, each, bar) for each in (gauge.low, gauge.high))
        inside = QColor(colours.inside)
        inside.setAlpha(72)
        painter.fillRect(QRectF(low, bar.top() + 1, high - low, bar.height() - 1), inside)
        painter.setPen(QPen(QColor(colours.inside), theme.px(2)))
        for end in (low, high):
            painter.drawLine(QPointF(end, bar.top()), QPointF(end, bar.bottom()))
        middle = bar.center().x()
        painter.setPen(QPen(QColor(colours.ink), 1, Qt.PenStyle.DashLine))
        painter.drawLine(QPointF(middle, bar.top()), QPointF(middle, bar.bottom()))
        self._paint_ends(painter, gauge, bar, (low, middle, high))

    def _paint_ends(
        self, painter: QPainter, gauge: Gauge, bar: QRectF, places: tuple[float, float, float]
    ) -> None:
        """Write the figures of band and target below, the outer ones away from the middle one."""
        painter.setFont(theme.font(theme.Size.TEXT))
        painter.setPen(QColor(theme.colours().ink))
        width, top, height = bar.width() / 2, bar.bottom() + theme.px(4), theme.px(24)
        words = painter.fontMetrics().horizontalAdvance(gauge.ends[1]) / 2 + theme.px(8)
        low, middle, high = places
        right_end, left_end = (
            min(low + width / 4, middle - words),
            max(high - width / 4, middle + words),
        )
        flag = Qt.AlignmentFlag
        painter.drawText(QRectF(0, top, right_end, height), flag.AlignRight, gauge.ends[0])
        box = QRectF(middle - width, top, 2 * width, height)
        painter.drawText(box, flag.AlignHCenter, gauge.ends[1])
        rest = self.width() - left_end
        painter.drawText(QRectF(left_end, top, rest, height), flag.AlignLeft, gauge.ends[2])

    def _paint_reading(self, painter: QPainter, gauge: Gauge, bar: QRectF) -> None:
        ink = QColor(signs.colour_of(gauge.sign))
        place = at(gauge, gauge.reading or Fraction(0), bar)
        outside = place < bar.left() or place > bar.right()
        place = min(max(place, bar.left()), bar.right())
        painter.setPen(QPen(ink, theme.px(3)))
        painter.setBrush(ink)
        if outside:
            painter.drawPolygon(_arrow(bar, right=place >= bar.right()))
        else:
            up, down = bar.top() - theme.px(4), bar.bottom() + theme.px(2)
            painter.drawLine(QPointF(place, up), QPointF(place, down))
        painter.setFont(theme.font(theme.Size.HEADING, bold=True))
        width = painter.fontMetrics().horizontalAdvance(gauge.figure) + theme.px(8)
        left = min(max(place - width / 2, 0), self.width() - width)
        box = QRectF(left, 0, width, theme.px(26))
        painter.drawText(box, Qt.AlignmentFlag.AlignCenter, gauge.figure)


def at(gauge: Gauge, number: Fraction, bar: QRectF) -> float:
    """Return where a figure stands on the scale, in pixels; outside the bar if it is far off."""
    reach = max(gauge.high - gauge.target, gauge.target - gauge.low, gauge.target / 1000) * BANDS
    share = float((number - gauge.target) / reach) if reach else 0.0
    return bar.center().x() + share * bar.width() / 2


def _arrow(bar: QRectF, *, right: bool) -> QPolygonF:
    side, middle = theme.px(12), bar.center().y()
    edge = bar.right() + side * 1.5 if right else bar.left() - side * 1.5
    back = edge - side if right else edge + side
    points = [QPointF(edge, middle), QPointF(back, middle - side), QPointF(back, middle + side)]
    return QPolygonF(points)
