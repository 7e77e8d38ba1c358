"""The register as a model: rows come from the store by pages of 50, never sorted here.

What cells show is handed to Qt once for each row, so that painting them asks no Python.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from enum import IntEnum

from PySide6.QtCore import QModelIndex, QObject, QPersistentModelIndex, Qt, Signal
from PySide6.QtGui import QBrush, QColor, QStandardItem, QStandardItemModel

from formulary.bench.stages import NOT_BEGUN, named
from formulary.register.filled import contents_said
from formulary.store import RegisterRow
from formulary.verbs.list_register import mark_of
from ui import signs, theme
from ui.context import Context
from ui.forms.days import distance, today

Index = QModelIndex | QPersistentModelIndex
PAGE = 50


class Column(IntEnum):
    """The columns, in reading order; the name in small letters is its place in the catalogue."""

    LOT = 0
    FORMULA = 1
    VERSION = 2
    MADE_ON = 3
    USE_BY = 4
    AWAY = 5
    TARGET = 6
    STAGE = 7
    LABELS = 8
    STARTED_BY = 9


_FIGURES = (Column.VERSION, Column.LABELS)
_QUIET = (Column.AWAY,)


class RegisterModel(QStandardItemModel):
    """Rows of the register; asks for the next page by ``more_wanted``, with its offset."""

    more_wanted = Signal(int)

    def __init__(self, context: Context, parent: QObject | None = None) -> None:
        super().__init__(0, len(Column), parent)
        self._context = context
        self._rows: list[RegisterRow] = []
        self._complete = True
        self._headings = [context.text(f"ui_register.column.{e.name.lower()}") for e in Column]
        across = Qt.Orientation.Horizontal
        for column in Column:
            self.setHeaderData(column, across, self._headings[column])
            alignment = _alignment(column)
            self.setHeaderData(column, across, alignment, Qt.ItemDataRole.TextAlignmentRole)

    def show_rows(self, rows: Sequence[RegisterRow]) -> None:
        """Show the first page of an answer."""
        self._rows = []
        self.setRowCount(0)
        self.add_rows(rows)

    def add_rows(self, rows: Sequence[RegisterRow]) -> None:
        """Add a further page."""
        self._rows += rows
        first = self.rowCount()
        self.insertRows(first, len(rows))
        for place, row in enumerate(rows, first):
            for column, item in enumerate(self._items(row)):
                self.setItem(place, column, item)
        self._complete = len(rows) < PAGE

    def row(self, number: int) -> RegisterRow | None:
        """Return a row, None past the end."""
        return self._rows[number] if 0 <= number < len(self._rows) else None

    def row_of(self, lot: str) -> int:
        """Return the number of a lot's row, -1 if it isn't listed."""
        lots = [each.lot for each in self._rows]
        return lots.index(lot) if lot in lots else -1

    def canFetchMore(self, parent: Index) -> bool:
        """Whether the store may have more."""
        return not parent.isValid() and not self._complete

    def fetchMore(self, parent: Index) -> None:
        """Ask for the next page; it comes later."""
        if not parent.isValid():
            self._complete = True
            self.more_wanted.emit(len(self._rows))

    def recolour(self) -> None:
        """Write what is quiet in the ink of the moment."""
        ink = _quiet_ink()
        for row in range(self.rowCount()):
            for column in _QUIET:
                self.item(row, column).setForeground(ink)

    def _items(self, row: RegisterRow) -> Iterator[QStandardItem]:
        for column, text in zip(Column, self._written(row), strict=True):
            item = QStandardItem(text)
            item.setEditable(False)
            item.setToolTip(f"{text} ({row.code})" if column is Column.FORMULA else text)
            item.setTextAlignment(_alignment(column))
            item.setAccessibleText(f"{self._headings[column]}: {text}")
            if column is Column.STAGE and row.recalled:
                item.setIcon(signs.icon(signs.Sign.OCTAGON))
            if column in _QUIET:
                item.setForeground(_quiet_ink())
            yield item

    def _written(self, row: RegisterRow) -> tuple[str, ...]:
        """Return what the cells of a row say, in the order of the columns."""
        written, until = self._context.catalogue.written, row.lasts_until
        return (
            row.lot,
            row.title,
            str(row.version_number),
            "" if row.made is None or row.stage in NOT_BEGUN else written(row.made),
            "" if until is None else written(until),
            "" if until is None else self._context.said(distance(today(self._context), until)),
            self._context.said(contents_said(row.target, row.filled)),
            self._stage(row),
            str(row.labels_printed),
            row.started_by,
        )

    def _stage(self, row: RegisterRow) -> str:
        mark, stage = mark_of(row.stage, recalled=row.recalled), named(row.stage)
        if mark is None:
            return self._context.said(stage)
        return self._context.text("ui_register.marked", stage=stage, mark=mark)


def _quiet_ink() -> QBrush:
    return QBrush(QColor(theme.colours().quiet))


def _alignment(column: Column) -> Qt.AlignmentFlag:
    across = Qt.AlignmentFlag.AlignRight if column in _FIGURES else Qt.AlignmentFlag.AlignLeft
    return across | Qt.AlignmentFlag.AlignVCenter
