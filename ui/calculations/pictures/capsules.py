"""Capsule bodies of a chart side by side, true to each other, and how full the chosen one is."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from PySide6.QtCore import QPointF, QRectF
from PySide6.QtGui import QColor, QPainter, QPainterPath

from formulary.calculating.outcome import Outcome
from formulary.calculating.tables import table
from formulary.calculating.values import Given
from formulary.catalogue import Catalogue
from formulary.messages import message
from formulary.quantity.amount import Amount
from ui import theme
from ui.calculations.answer import Answer
from ui.calculations.pictures.picture import Drawing, pen, size_for, write

SLENDER = 0.36
"""Width of a body by its length, as of the usual sizes."""
AREA = "ui_calculations.picture"


@dataclass(frozen=True, slots=True)
class Body:
    """A capsule body: its size as called, its volume, and the part of it that is filled."""

    size: str
    volume: Amount
    filled: Fraction | None


class CapsuleSizes:
    """Bodies from the largest down; lengths go with the cube root of the volumes."""

    height = 216

    def __init__(self, bodies: list[Body], catalogue: Catalogue) -> None:
        self._bodies, self._catalogue = bodies, catalogue

    def said(self) -> str:
        """Return which one is chosen and how full it is."""
        for body in self._bodies:
            if body.filled is not None:
                percent = round(body.filled * 100, 1)
                said = message(
                    f"{AREA}.capsule", size=body.size, volume=body.volume, percent=percent
                )
                return self._catalogue.text(said)
        return self._catalogue.text(f"{AREA}.capsules")

    def paint(self, painter: QPainter, area: QRectF) -> None:
        """Paint the bodies on one ground, their sizes and volumes below."""
        ground = area.bottom() - theme.px(52)
        tallest = ground - area.y() - theme.px(12)
        step = area.width() / max(6, len(self._bodies))
        largest = float(self._bodies[0].volume.number)
        for place, body in enumerate(self._bodies):
            tall = tallest * (float(body.volume.number) / largest) ** (1 / 3)
            middle = area.x() + step * (place + 0.5)
            wide = min(tall * SLENDER, step * 0.8)
            self._paint_body(painter, QRectF(middle - wide / 2, ground - tall, wide, tall), body)
            self._paint_words(painter, QPointF(middle, ground), body)

    def _paint_body(self, painter: QPainter, box: QRectF, body: Body) -> None:
        colours = theme.colours()
        outline = QPainterPath()
        outline.moveTo(box.topLeft())
        bend = box.width() / 2
        outline.lineTo(box.left(), box.bottom() - bend)
        outline.arcTo(QRectF(box.left(), box.bottom() - 2 * bend, 2 * bend, 2 * bend), 180, 180)
        outline.lineTo(box.topRight())
        outline.closeSubpath()
        if body.filled is not None:
            painter.save()
            painter.setClipPath(outline)
            tall = box.height() * min(1.0, float(body.filled))
            full = QRectF(box.left(), box.bottom() - tall, box.width(), tall)
            fill = QColor(colours.accent)
            fill.setAlphaF(0.35)
            painter.fillRect(full, fill)
            painter.restore()
        chosen = body.filled is not None
        painter.setPen(pen(colours.accent if chosen else colours.edge, 2 if chosen else 1.5))
        painter.drawPath(outline)

    def _paint_words(self, painter: QPainter, at: QPointF, body: Body) -> None:
        colours = theme.colours()
        chosen = body.filled is not None
        size_for(painter, theme.Size.TEXT, colours.accent if chosen else colours.ink, bold=chosen)
        write(painter, at + QPointF(0, theme.px(16)), body.size)
        size_for(painter, theme.Size.NOTE, colours.quiet)
        write(painter, at + QPointF(0, theme.px(38)), self._catalogue.written(body.volume))


def capsule_sizes(answer: Answer, catalogue: Catalogue) -> Drawing | None:
    """Return the sizes of the chart that was used, None where a volume was given instead."""
    given, outcome = answer.given, answer.outcome
    if given is None or outcome is None:
        return None
    size = _chosen(given, outcome)
    if not size:
        return None
    filled = _filled(outcome)
    rows = [row for row in table("capsule-volumes") if row["chart"] == given.text("chart")]
    bodies = [
        Body(
            str(row["size"]),
            Amount(Fraction(row["volume_ml"]), "mL"),
            filled if row["size"] == size else None,
        )
        for row in rows
    ]
    bodies.sort(key=lambda body: body.volume.number, reverse=True)
    return CapsuleSizes(bodies, catalogue)


def _chosen(given: Given, outcome: Outcome) -> str:
    found = {each.name: each.value for each in outcome.results}
    return str(found["size"]) if "size" in found else given.values.get("size", "")


def _filled(outcome: Outcome) -> Fraction:
    """Return how much of the body is filled; filling to a volume fills all of it."""
    found = {each.name: each.value for each in outcome.results}
    fill, whole = found.get("fill_volume"), found.get("capsule_volume")
    if isinstance(fill, Amount) and isinstance(whole, Amount):
        return fill / whole
    return Fraction(1)
