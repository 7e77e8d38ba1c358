"""The table of what to weigh: a row for each line, its working below it on demand (key ``=``)."""

from __future__ import annotations

from collections.abc import Sequence
from enum import IntEnum

from PySide6.QtCore import QModelIndex, QPersistentModelIndex, QRect, QSize, Qt, Signal
from PySide6.QtGui import (
    QColor,
    QFont,
    QFontMetrics,
    QKeyEvent,
    QPainter,
    QResizeEvent,
    QStandardItem,
    QStandardItemModel,
)
from PySide6.QtWidgets import QStyle, QStyledItemDelegate, QStyleOptionViewItem, QTreeView

from formulary.finding import Severity
from formulary.quantity.writing import held_together
from ui import signs, theme
from ui.formulas.bench_rows import BenchRow
from ui.widgets.words import action

_WRAP = Qt.TextFlag.TextWordWrap
_PAD = 6
LEAST_HEIGHT, MOST_HEIGHT = 160, 440


class Part(IntEnum):
    """What an item holds."""

    ROW = Qt.ItemDataRole.UserRole + 1


class BenchTable(QTreeView):
    """Rows of the bench; ``row_changed`` tells which line is the current one."""

    row_changed = Signal(int)
    instrument_wanted = Signal()
    lot_wanted = Signal()

    def __init__(self, name: str, working: str, instrument: str, lot: str) -> None:
        super().__init__()
        self._model = QStandardItemModel(self)
        self.setAccessibleName(name)
        self.setHeaderHidden(True)
        self.setIndentation(0)
        self.setUniformRowHeights(False)
        self.setRootIsDecorated(False)
        self.setTabKeyNavigation(False)
        self.setExpandsOnDoubleClick(True)
        self.setEditTriggers(self.EditTrigger.NoEditTriggers)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setVerticalScrollMode(self.ScrollMode.ScrollPerPixel)
        self.setModel(self._model)
        self.setItemDelegate(BenchDelegate(self))
        self.rows: tuple[BenchRow, ...] = ()
        action(self, working, "=", self.toggle_working)
        self.choose_instrument = action(self, instrument, "F2", self.instrument_wanted.emit)
        self.enter_lot = action(self, lot, "F3", self.lot_wanted.emit)

    def show_rows(self, rows: Sequence[BenchRow]) -> None:
        """Show the rows; what was open and current stays so."""
        current, opened = self.current_line(), self._opened()
        self.rows = tuple(rows)
        self._model.clear()
        for row in rows:
            self._model.appendRow(_item(row))
        for line in opened:
            self.setExpanded(self._model.index(line, 0), True)
        if rows:
            line = current if 0 <= current < len(rows) else 0
            self.setCurrentIndex(self._model.index(line, 0))

    def current_line(self) -> int:
        """Return the position of the line that is current, or whose working is; -1 for none."""
        index = self.currentIndex()
        return index.parent().row() if index.parent().isValid() else index.row()

    def go_to(self, line: int) -> None:
        """Make a line the current one and take the keys."""
        self.setCurrentIndex(self._model.index(line, 0))
        self.setFocus()

    def toggle_working(self) -> None:
        """Open or close the working of the current line."""
        index = self._model.index(self.current_line(), 0)
        self.setExpanded(index, not self.isExpanded(index))

    def toggle_all(self) -> None:
        """Open the working of every line, or close all where any is open."""
        if self._opened():
            self.collapseAll()
        else:
            self.expandAll()

    def open_workings(self) -> tuple[str, ...]:
        """Return the lines of working in view."""
        return tuple(step for line in self._opened() for step in self.rows[line].working)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Leave Enter to the panel's accent act."""
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            event.ignore()
        else:
            super().keyPressEvent(event)

    def currentChanged(
        self,
        current: QModelIndex | QPersistentModelIndex,
        previous: QModelIndex | QPersistentModelIndex,
    ) -> None:
        """Tell which line is current."""
        super().currentChanged(current, previous)
        self.row_changed.emit(self.current_line())

    def updateGeometries(self) -> None:
        """Be as tall as the rows, within reason: the base stands in the last one."""
        super().updateGeometries()
        rows = range(self._model.rowCount())
        tall = sum(self._height(self._model.index(row, 0)) for row in rows)
        least, most = theme.px(LEAST_HEIGHT), theme.px(MOST_HEIGHT)
        self.setMinimumHeight(min(max(tall + 2 * self.frameWidth(), least), most))

    def _height(self, index: QModelIndex) -> int:
        """Return the height of a row with its working, where that is open."""
        steps = range(self._model.rowCount(index)) if self.isExpanded(index) else ()
        below = sum(self.rowHeight(self._model.index(step, 0, index)) for step in steps)
        return self.rowHeight(index) + below

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Wrap anew at the new width."""
        super().resizeEvent(event)
        self.scheduleDelayedItemsLayout()

    def _opened(self) -> list[int]:
        lines = range(self._model.rowCount())
        return [line for line in lines if self.isExpanded(self._model.index(line, 0))]


class BenchDelegate(QStyledItemDelegate):
    """Paints a line with its figure aligned at the decimal sign, and steps of working."""

    def paint(
        self,
        painter: QPainter,
        option: QStyleOptionViewItem,
        index: QModelIndex | QPersistentModelIndex,
    ) -> None:
        """Paint a line or a step."""
        rect = QRect(option.rect.topLeft(), QSize(self._width(), option.rect.height()))
        colours = theme.colours()
        painter.save()
        if option.state & QStyle.StateFlag.State_Selected:
            painter.fillRect(rect, QColor(colours.paper))
            painter.fillRect(QRect(rect.x(), rect.y(), theme.px(4), rect.height()), colours.accent)
        row = index.data(Part.ROW)
        for text, font, colour, box in self._texts(rect, index):
            painter.setFont(font)
            painter.setPen(QColor(colour))
            painter.drawText(box, _WRAP, text)
        if isinstance(row, BenchRow):
            self._paint_figure(painter, rect, row)
            painter.setPen(QColor(colours.hairline))
            painter.drawLine(rect.topLeft(), rect.topRight())
        painter.restore()

    def sizeHint(
        self, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex
    ) -> QSize:
        """Return the height that the wrapped texts take."""
        width = self._width()
        texts = self._texts(QRect(0, 0, width, 0), index)
        return QSize(width, texts[-1][3].bottom() + theme.px(_PAD))

    def _width(self) -> int:
        return self._view().viewport().width()

    def _view(self) -> BenchTable:
        view = self.parent()
        if not isinstance(view, BenchTable):
            raise TypeError("this delegate belongs to a bench table")
        return view

    def _texts(
        self, rect: QRect, index: QModelIndex | QPersistentModelIndex
    ) -> list[tuple[str, QFont, str, QRect]]:
        colours = theme.colours()
        row = index.data(Part.ROW)
        pad = theme.px(_PAD)
        left, width = rect.x() + theme.px(12), rect.width() - theme.px(16)
        note = theme.font(theme.Size.NOTE)
        if not isinstance(row, BenchRow):
            box = QRect(left + theme.px(12), rect.y() + theme.px(2), width - theme.px(12), 0)
            return _stacked(box, [(str(index.data()), note, colours.quiet)])
        figure = sum(self._columns()) + theme.px(12)
        name = QRect(left, rect.y() + pad, width - figure, 0)
        placed = _stacked(name, [(row.ingredient, theme.font(theme.Size.TEXT), colours.ink)])
        below = QRect(left, placed[-1][3].bottom() + theme.px(2), width, 0)
        notes = [(row.how, note, colours.quiet)] if row.how else []
        notes += [(text, note, _colour(severity)) for severity, text in row.doubts]
        return placed + _stacked(below, notes)

    def _columns(self) -> tuple[int, int, int]:
        """Return the widths of whole part, decimals and unit over all rows."""
        metrics = QFontMetrics(theme.font(theme.Size.TEXT, bold=True))
        unit = QFontMetrics(theme.font(theme.Size.NOTE))
        figures = [row.figure for row in self._view().rows]
        wide = metrics.horizontalAdvance
        return (
            max((wide(f"{each.before} {each.whole}") for each in figures), default=0),
            max((wide(each.decimals) for each in figures), default=0),
            max((unit.horizontalAdvance(each.unit) for each in figures), default=0) + theme.px(4),
        )

    def _paint_figure(self, painter: QPainter, rect: QRect, row: BenchRow) -> None:
        """Paint the figure: whole part to the left of the sign's column, the rest to the right."""
        _, decimals, unit = self._columns()
        font = theme.font(theme.Size.TEXT, bold=True)
        metrics = QFontMetrics(font)
        right = rect.right() - theme.px(4)
        sign = right - unit - decimals
        top, tall = rect.y() + theme.px(_PAD), metrics.height()
        colours = theme.colours()
        painter.setFont(font)
        painter.setPen(QColor(colours.ink))
        before = f"{row.figure.before} {row.figure.whole}".strip()
        right_aligned = int(Qt.AlignmentFlag.AlignRight)
        painter.drawText(QRect(rect.x(), top, sign - rect.x(), tall), right_aligned, before)
        painter.drawText(QRect(sign, top, decimals, tall), 0, row.figure.decimals)
        painter.setFont(theme.font(theme.Size.NOTE))
        painter.setPen(QColor(colours.quiet))
        box = QRect(right - unit + theme.px(4), top, unit, tall)
        painter.drawText(box, int(Qt.AlignmentFlag.AlignVCenter), row.figure.unit)


def _item(row: BenchRow) -> QStandardItem:
    item = QStandardItem(row.spoken())
    item.setData(row, Part.ROW)
    item.setData(row.spoken(), Qt.ItemDataRole.AccessibleTextRole)
    for step in row.working:
        item.appendRow(QStandardItem(step))
    return item


def _colour(severity: Severity) -> str:
    return signs.colour_of(signs.OF_SEVERITY[severity])


def _stacked(
    start: QRect, texts: Sequence[tuple[str, QFont, str]]
) -> list[tuple[str, QFont, str, QRect]]:
    down = start.y()
    placed = []
    for said, font, colour in texts:
        text = held_together(said)
        metrics = QFontMetrics(font)
        tall = metrics.boundingRect(0, 0, start.width(), 10_000, _WRAP, text).height()
        placed.append((text, font, colour, QRect(start.x(), down, start.width(), tall)))
        down += tall + theme.px(2)
    return placed
