"""Alligation as it is drawn on paper: sources on the left, parts on the right, the wanted between.

Each line runs from a source through the strength wanted to the parts that its distance gives.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter

from formulary.calculating.outcome import Value
from formulary.calculating.saying import value_said
from formulary.catalogue import Catalogue
from formulary.messages import message
from formulary.quantity.amount import Concentration, OneIn
from ui import theme
from ui.calculations.answer import Answer
from ui.calculations.pictures.picture import Drawing, pen, size_for, write

ROW, MIDDLE_GAP = 64, 24
LEFT, CENTRE, RIGHT = 0.2, 0.47, 0.72


@dataclass(frozen=True, slots=True)
class Source:
    """One source: its strength, and what is taken of it."""

    strength: str
    parts: str
    amount: str


class AlligationCross:
    """Sources from the strongest down, and the strength wanted."""

    def __init__(self, sources: list[Source], target: str, said: str) -> None:
        self._sources, self._target, self._said = sources, target, said
        self.height = ROW * max(2, len(sources)) + MIDDLE_GAP

    def said(self) -> str:
        """Return the picture in words."""
        return self._said

    def paint(self, painter: QPainter, area: QRectF) -> None:
        """Paint lines first, then the texts on their ends."""
        colours = theme.colours()
        middle = QPointF(area.x() + area.width() * CENTRE, area.center().y())
        downs = self._downs(area)
        painter.setPen(pen(colours.edge))
        for down, opposite in zip(downs, reversed(downs), strict=True):
            painter.drawLine(QPointF(area.width() * (LEFT + 0.02), down), middle)
            painter.drawLine(middle, QPointF(area.width() * (RIGHT - 0.02), opposite))
        self._paint_target(painter, middle)
        for source, down in zip(self._sources, downs, strict=True):
            self._paint_source(painter, area, source, down)

    def _downs(self, area: QRectF) -> list[float]:
        count = len(self._sources)
        return [area.y() + area.height() * (place + 0.5) / count for place in range(count)]

    def _paint_target(self, painter: QPainter, middle: QPointF) -> None:
        colours = theme.colours()
        painter.setFont(theme.font(theme.Size.HEADING, bold=True))
        metrics = painter.fontMetrics()
        wide = metrics.horizontalAdvance(self._target) + theme.px(24)
        tall = metrics.height() + theme.px(12)
        painter.setBrush(QColor(colours.paper))
        painter.setPen(pen(colours.accent, 2))
        box = QRectF(middle.x() - wide / 2, middle.y() - tall / 2, wide, tall)
        painter.drawRoundedRect(box, theme.px(3), theme.px(3))
        size_for(painter, theme.Size.HEADING, colours.accent, bold=True)
        write(painter, middle, self._target)

    def _paint_source(self, painter: QPainter, area: QRectF, source: Source, down: float) -> None:
        colours = theme.colours()
        left, right = area.width() * LEFT, area.width() * RIGHT
        size_for(painter, theme.Size.TEXT, colours.ink)
        write(painter, QPointF(left, down), source.strength, Qt.AlignmentFlag.AlignRight)
        above = theme.px(9) if source.amount else 0
        size_for(painter, theme.Size.TEXT, colours.ink, bold=True)
        write(painter, QPointF(right, down - above), source.parts, Qt.AlignmentFlag.AlignLeft)
        size_for(painter, theme.Size.NOTE, colours.quiet)
        at = QPointF(right, down + theme.px(11))
        write(painter, at, source.amount, Qt.AlignmentFlag.AlignLeft)


def alligation_cross(answer: Answer, catalogue: Catalogue) -> Drawing | None:
    """Return the cross of an answer."""
    given, outcome = answer.given, answer.outcome
    if given is None or outcome is None:
        return None
    results = {each.name: each.value for each in outcome.results}
    strengths = given.values["sources"]
    found = [
        Source(
            _strength(strength, catalogue),
            _written(results, f"parts_{place}", catalogue),
            _written(results, f"amount_{place}", catalogue),
        )
        for place, strength in enumerate(strengths, 1)
    ]
    order = sorted(range(len(found)), key=lambda place: _size(strengths[place]), reverse=True)
    sources = [found[place] for place in order]
    target = _strength(given.values["target_strength"], catalogue)
    return AlligationCross(sources, target, _said(sources, target, catalogue))


def _written(results: dict[str, Value], name: str, catalogue: Catalogue) -> str:
    return value_said(results[name], catalogue) if name in results else ""


def _strength(value: object, catalogue: Catalogue) -> str:
    if isinstance(value, Concentration | OneIn):
        return catalogue.written(value)
    return catalogue.text(message("calculating.bare_percent", number=Fraction(str(value))))


def _size(value: object) -> Fraction:
    plain = value.as_percent() if isinstance(value, OneIn) else value
    return plain.number if isinstance(plain, Concentration) else Fraction(str(plain))


def _said(sources: list[Source], target: str, catalogue: Catalogue) -> str:
    each = tuple(
        message("ui_calculations.picture.source", strength=s.strength, parts=s.parts)
        for s in sources
    )
    said = message("ui_calculations.picture.alligation", target=target, sources=each)
    return catalogue.text(said)
