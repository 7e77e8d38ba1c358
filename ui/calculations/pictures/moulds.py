"""The units of a mould: those ordered and the spare ones, and what one of them is made of."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPainterPath

from formulary.catalogue import Catalogue
from formulary.messages import message
from formulary.quantity.amount import Amount
from ui import theme
from ui.calculations.answer import Answer
from ui.calculations.pictures.picture import Drawing, pen, size_for, write

MOST_SHOWN = 24
IN_ROW = 12
AREA = "ui_calculations.picture"


@dataclass(frozen=True, slots=True)
class Units:
    """Counts, and the masses in one unit."""

    ordered: int
    spare: int
    drug: Amount
    base: Amount


class MouldRow:
    """One large unit with its parts, and all of them small beside it, spare ones dashed."""

    height = 176

    def __init__(self, units: Units, catalogue: Catalogue) -> None:
        self._units, self._catalogue = units, catalogue

    def said(self) -> str:
        """Return the picture in words."""
        units = self._units
        said = message(
            f"{AREA}.mould",
            ordered=units.ordered,
            spare=units.spare,
            drug=units.drug,
            base=units.base,
        )
        return self._catalogue.text(said)

    def paint(self, painter: QPainter, area: QRectF) -> None:
        """Paint the large unit with its words, then the small ones."""
        tall = area.height() - theme.px(24)
        large = QRectF(area.x() + theme.px(8), area.y() + theme.px(12), tall * 0.42, tall)
        self._paint_parts(painter, large)
        self._paint_small(painter, area.adjusted(area.width() * 0.52, theme.px(12), 0, 0))

    def _paint_parts(self, painter: QPainter, box: QRectF) -> None:
        colours = theme.colours()
        units = self._units
        share = float(units.drug / (units.drug + units.base))
        painter.save()
        painter.setClipPath(_torpedo(box))
        top = box.bottom() - box.height() * share
        fill = QColor(colours.accent)
        fill.setAlphaF(0.35)
        painter.fillRect(QRectF(box.left(), top, box.width(), box.bottom() - top), fill)
        painter.restore()
        painter.setPen(pen(colours.accent, 2))
        painter.drawPath(_torpedo(box))
        right = box.right() + theme.px(12)
        self._paint_words(painter, QPointF(right, box.top() + box.height() * 0.3), "base")
        at = QPointF(right, box.bottom() - theme.px(22))
        self._paint_words(painter, at, "drug")

    def _paint_words(self, painter: QPainter, at: QPointF, part: str) -> None:
        colours = theme.colours()
        amount = self._units.drug if part == "drug" else self._units.base
        size_for(painter, theme.Size.TEXT, colours.ink)
        write(painter, at, self._catalogue.written(amount), Qt.AlignmentFlag.AlignLeft)
        size_for(painter, theme.Size.NOTE, colours.quiet)
        below = at + QPointF(0, theme.px(18))
        write(painter, below, self._catalogue.text(f"{AREA}.{part}"), Qt.AlignmentFlag.AlignLeft)

    def _paint_small(self, painter: QPainter, area: QRectF) -> None:
        colours = theme.colours()
        units = self._units
        shown = min(MOST_SHOWN, units.ordered + units.spare)
        step = area.width() / IN_ROW
        tall = theme.px(48)
        first_spare = shown - min(units.spare, shown)
        for place in range(shown):
            row, column = divmod(place, IN_ROW)
            left, top = area.x() + step * column, area.y() + (tall + theme.px(10)) * row
            spare = place >= first_spare
            style = Qt.PenStyle.DashLine if spare else Qt.PenStyle.SolidLine
            painter.setPen(pen(colours.quiet if spare else colours.ink, 1.5, style))
            painter.drawPath(_torpedo(QRectF(left, top, step * 0.72, tall)))
        size_for(painter, theme.Size.NOTE, colours.quiet)
        below = QPointF(area.x(), area.y() + (tall + theme.px(10)) * 2 + theme.px(12))
        counts = message(f"{AREA}.counts", ordered=units.ordered, spare=units.spare)
        write(painter, below, self._catalogue.text(counts), Qt.AlignmentFlag.AlignLeft)


def _torpedo(box: QRectF) -> QPainterPath:
    """Return the outline of a unit: pointed above, widest in the middle, flat below."""
    path = QPainterPath()
    shoulder = box.top() + box.height() * 0.45
    inset = box.width() * 0.12
    path.moveTo(box.center().x(), box.top())
    path.cubicTo(
        QPointF(box.right() - inset, box.top() + box.height() * 0.06),
        QPointF(box.right(), box.top() + box.height() * 0.25),
        QPointF(box.right(), shoulder),
    )
    path.lineTo(box.right() - inset, box.bottom())
    path.lineTo(box.left() + inset, box.bottom())
    path.lineTo(box.left(), shoulder)
    path.cubicTo(
        QPointF(box.left(), box.top() + box.height() * 0.25),
        QPointF(box.left() + inset, box.top() + box.height() * 0.06),
        QPointF(box.center().x(), box.top()),
    )
    return path


def mould_row(answer: Answer, catalogue: Catalogue) -> Drawing | None:
    """Return the units of an answer."""
    given, outcome = answer.given, answer.outcome
    if given is None or outcome is None:
        return None
    ordered, spare = given.count("ordered"), given.count("spare")
    each = Fraction(1, ordered + spare)
    base, total = outcome.value("base"), outcome.value("total")
    if not isinstance(base, Amount) or not isinstance(total, Amount):
        return None
    drug = (total - base) * each
    return MouldRow(Units(ordered, spare, _shown(drug), _shown(base * each)), catalogue)


def _shown(amount: Amount) -> Amount:
    """Return an amount as precise as a picture has room for."""
    return Amount(round(amount.to("g").number, 3), "g")
