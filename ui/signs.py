"""The signs that stand beside words: drawn for this program, one weight, in the ink they mean."""

from __future__ import annotations

from enum import StrEnum
from math import cos, pi, sin

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QIcon, QPainter, QPen, QPixmap, QPolygonF

from formulary.finding import Severity
from ui import theme


class Sign(StrEnum):
    """What a sign says."""

    TICK = "tick"
    TRIANGLE = "triangle"
    OCTAGON = "octagon"
    DOT = "dot"


OF_SEVERITY = {
    Severity.STOP: Sign.OCTAGON,
    Severity.REASON: Sign.TRIANGLE,
    Severity.NOTE: Sign.DOT,
}


def colour_of(sign: Sign) -> str:
    """Return the colour that goes with a sign in the palette of the moment."""
    colours = theme.colours()
    return {
        Sign.TICK: colours.inside,
        Sign.TRIANGLE: colours.thought,
        Sign.OCTAGON: colours.stop,
        Sign.DOT: colours.quiet,
    }[sign]


def icon(sign: Sign) -> QIcon:
    """Return the sign as an icon, sharp at twice the size; on a selection in its ink."""
    side = theme.px(16) * 2
    made = QIcon(pixmap(sign, side))
    made.addPixmap(pixmap(sign, side, theme.colours().on_accent), QIcon.Mode.Selected)
    return made


def pixmap(sign: Sign, side: int, ink: str = "") -> QPixmap:
    """Return the sign as a picture of ``side`` device pixels, for a screen of double density.

    ``ink`` takes the place of the colour that goes with the sign.
    """
    picture = QPixmap(QSize(side, side))
    picture.fill(Qt.GlobalColor.transparent)
    painter = QPainter(picture)
    paint(painter, sign, QRectF(0, 0, side, side), ink)
    painter.end()
    picture.setDevicePixelRatio(2)
    return picture


def paint(painter: QPainter, sign: Sign, box: QRectF, ink: str = "") -> None:
    """Paint the sign into the box, in an ink of its own if one is given."""
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    pen = QPen(QColor(ink or colour_of(sign)), box.width() / 9)
    pen.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
    pen.setCapStyle(Qt.PenCapStyle.RoundCap)
    painter.setPen(pen)
    _SHAPES[sign](painter, box)
    painter.restore()


def _at(box: QRectF, right: float, down: float) -> QPointF:
    return QPointF(box.x() + right * box.width(), box.y() + down * box.height())


def _mark(painter: QPainter, box: QRectF, top: float) -> None:
    """Paint an upright stroke and the point below it."""
    painter.drawLine(_at(box, 0.5, top), _at(box, 0.5, 0.55))
    painter.drawPoint(_at(box, 0.5, 0.73))


def _tick(painter: QPainter, box: QRectF) -> None:
    points = ((0.15, 0.55), (0.4, 0.8), (0.85, 0.22))
    painter.drawPolyline(QPolygonF([_at(box, *point) for point in points]))


def _triangle(painter: QPainter, box: QRectF) -> None:
    points = ((0.5, 0.1), (0.93, 0.88), (0.07, 0.88))
    painter.drawPolygon(QPolygonF([_at(box, *point) for point in points]))
    _mark(painter, box, 0.38)


def _octagon(painter: QPainter, box: QRectF) -> None:
    corners = [pi / 8 + pi / 4 * number for number in range(8)]
    painter.drawPolygon(
        QPolygonF([_at(box, 0.5 + 0.44 * cos(each), 0.5 + 0.44 * sin(each)) for each in corners])
    )
    _mark(painter, box, 0.27)


def _dot(painter: QPainter, box: QRectF) -> None:
    painter.drawEllipse(_at(box, 0.5, 0.5), box.width() * 0.4, box.height() * 0.4)
    painter.drawPoint(_at(box, 0.5, 0.28))
    painter.drawLine(_at(box, 0.5, 0.47), _at(box, 0.5, 0.73))


_SHAPES = {Sign.TICK: _tick, Sign.TRIANGLE: _triangle, Sign.OCTAGON: _octagon, Sign.DOT: _dot}
