"""The contraction of ethanol over the strength made, this dilution a point on the curve."""

from __future__ import annotations

from fractions import Fraction
from math import ceil

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPolygonF

from formulary.calculating.contraction import Contraction, contraction, contraction_curve
from formulary.calculations.ethanol_strength import mass_fraction
from formulary.catalogue import Catalogue
from formulary.messages import message
from ui import theme
from ui.calculations.answer import Answer
from ui.calculations.pictures.picture import Drawing, pen, size_for, write

WHOLE = 100
AREA = "ui_calculations.picture"
TICKS = 5
PEAK = (42, 60)
"""Where the curve is about level, in % v/v."""


class ContractionPlot:
    """The curve from the diluent to the ethanol at hand; ``here`` is the strength wanted."""

    height = 240

    def __init__(
        self, curve: tuple[Contraction, ...], here: Contraction, catalogue: Catalogue
    ) -> None:
        self._curve, self._here, self._catalogue = curve, here, catalogue
        self._most = max(1, ceil(max(each.lost for each in curve)))

    def said(self) -> str:
        """Return what the point shows."""
        strength, lost = (round(each, 2) for each in (self._here.percent, self._here.lost))
        return self._text("contraction", strength=strength, lost=lost)

    def paint(self, painter: QPainter, area: QRectF) -> None:
        """Paint the axes, the curve and the point."""
        colours = theme.colours()
        plot = area.adjusted(theme.px(48), theme.px(32), -theme.px(56), -theme.px(48))
        self._paint_axes(painter, plot)
        painter.setPen(pen(colours.accent, 2))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawPolyline(QPolygonF([self._at(plot, each) for each in self._curve]))
        self._paint_point(painter, plot)

    def _at(self, plot: QRectF, each: Contraction) -> QPointF:
        return QPointF(
            plot.x() + plot.width() * float(each.percent) / WHOLE,
            plot.bottom() - plot.height() * float(each.lost) / self._most,
        )

    def _paint_axes(self, painter: QPainter, plot: QRectF) -> None:
        colours = theme.colours()
        for step in range(TICKS + 1):
            right = plot.x() + plot.width() * step / TICKS
            painter.setPen(pen(colours.hairline, 1))
            painter.drawLine(QPointF(right, plot.y()), QPointF(right, plot.bottom()))
            size_for(painter, theme.Size.NOTE, colours.quiet)
            at = QPointF(right, plot.bottom() + theme.px(12))
            write(painter, at, str(WHOLE * step // TICKS))
        for lost in range(self._most + 1):
            down = plot.bottom() - plot.height() * lost / self._most
            painter.setPen(pen(colours.hairline if lost else colours.edge, 1))
            painter.drawLine(QPointF(plot.x(), down), QPointF(plot.right(), down))
            size_for(painter, theme.Size.NOTE, colours.quiet)
            at = QPointF(plot.x() - theme.px(8), down)
            write(painter, at, str(lost), Qt.AlignmentFlag.AlignRight)
        below = QPointF(plot.center().x(), plot.bottom() + theme.px(34))
        write(painter, below, self._text("strength_made"))
        above = QPointF(plot.x() - theme.px(32), plot.y() - theme.px(20))
        write(painter, above, self._text("lost"), Qt.AlignmentFlag.AlignLeft)

    def _paint_point(self, painter: QPainter, plot: QRectF) -> None:
        colours = theme.colours()
        at = self._at(plot, self._here)
        painter.setPen(pen(colours.accent, 1, Qt.PenStyle.DashLine))
        painter.drawLine(at, QPointF(at.x(), plot.bottom()))
        painter.setPen(pen(colours.paper, 2))
        painter.setBrush(QColor(colours.accent))
        painter.drawEllipse(at, theme.px(5), theme.px(5))
        size_for(painter, theme.Size.TEXT, colours.accent, bold=True)
        lost = self._text("lost_here", lost=round(self._here.lost, 2))
        self._write_beside(painter, at, lost)

    def _write_beside(self, painter: QPainter, at: QPointF, text: str) -> None:
        """Write above the point, on the side to which the curve falls away from it."""
        percent = self._here.percent
        if PEAK[0] <= percent <= PEAK[1]:
            write(painter, QPointF(at.x(), at.y() - theme.px(18)), text)
            return
        rising = percent < PEAK[0]
        side = Qt.AlignmentFlag.AlignRight if rising else Qt.AlignmentFlag.AlignLeft
        shift = -theme.px(8) if rising else theme.px(8)
        write(painter, QPointF(at.x() + shift, at.y() - theme.px(10)), text, side)

    def _text(self, key: str, **parameters: Fraction) -> str:
        return self._catalogue.text(message(f"{AREA}.{key}", **parameters))


def contraction_plot(answer: Answer, catalogue: Catalogue) -> Drawing | None:
    """Return the plot of a dilution."""
    given = answer.given
    if given is None:
        return None
    temperature, scale = given.number("temperature"), given.number("scale")
    strong, made, weak = (
        mass_fraction(given.strength(name), scale)
        for name in ("stock_strength", "target_strength", "diluent_strength")
    )
    curve = contraction_curve(strong, weak, temperature, scale)
    here = contraction(strong, weak, made, temperature, scale)
    return ContractionPlot(curve, here, catalogue)
