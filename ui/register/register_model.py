"""The register as a model: rows come from the store by pages of 50, never sorted here."""

from __future__ import annotations

from collections.abc import Sequence
from enum import IntEnum

from PySide6.QtCore import (
    QAbstractTableModel,
    QModelIndex,
    QObject,
    QPersistentModelIndex,
    Qt,
    Signal,
)
from PySide6.QtGui import QColor

from formulary.store import RegisterRow
from ui import theme
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


class RegisterModel(QAbstractTableModel):
    """Rows of the register; asks for the next page by ``more_wanted``, with its offset."""

    more_wanted = Signal(int)

    def __init__(self, context: Context, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._context = context
        self._rows: list[RegisterRow] = []
        self._complete = True

    def show_rows(self, rows: Sequence[RegisterRow]) -> None:
        """Show the first page of an answer."""
        self.beginResetModel()
        self._rows = list(rows)
        self._complete = len(rows) < PAGE
        self.endResetModel()

    def add_rows(self, rows: Sequence[RegisterRow]) -> None:
        """Add a further page."""
        if rows:
            first = len(self._rows)
            self.beginInsertRows(QModelIndex(), first, first + len(rows) - 1)
            self._rows.extend(rows)
            self.endInsertRows()
        self._complete = len(rows) < PAGE

    def row(self, number: int) -> RegisterRow | None:
        """Return a row, None past the end."""
        return self._rows[number] if 0 <= number < len(self._rows) else None

    def row_of(self, lot: str) -> int:
        """Return the number of a lot's row, -1 if it isn't listed."""
        lots = [each.lot for each in self._rows]
        return lots.index(lot) if lot in lots else -1

    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008 - Qt's own default
        """Return how many rows are here; a row has none below it."""
        return 0 if parent.isValid() else len(self._rows)

    def columnCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008 - Qt's own default
        """Return how many columns there are."""
        return 0 if parent.isValid() else len(Column)

    def canFetchMore(self, parent: Index) -> bool:
        """Whether the store may have more."""
        return not parent.isValid() and not self._complete

    def fetchMore(self, parent: Index) -> None:
        """Ask for the next page; it comes later."""
        self._complete = True
        self.more_wanted.emit(len(self._rows))

    def headerData(
        self,
        section: int,
        orientation: Qt.Orientation,
        role: int = Qt.ItemDataRole.DisplayRole,
    ) -> object:
        """Return a column's heading."""
        if orientation is not Qt.Orientation.Horizontal:
            return None
        if role == Qt.ItemDataRole.TextAlignmentRole:
            return _alignment(Column(section))
        if role == Qt.ItemDataRole.DisplayRole:
            return self._context.text(f"ui_register.column.{Column(section).name.lower()}")
        return None

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        """Return what a cell shows."""
        row = self.row(index.row())
        if row is None:
            return None
        column = Column(index.column())
        if role in (Qt.ItemDataRole.DisplayRole, Qt.ItemDataRole.ToolTipRole):
            return self._text(row, column)
        if role == Qt.ItemDataRole.TextAlignmentRole:
            return _alignment(column)
        if role == Qt.ItemDataRole.ForegroundRole and column in _QUIET:
            return QColor(theme.colours().quiet)
        if role == Qt.ItemDataRole.AccessibleTextRole:
            return f"{self.headerData(column, Qt.Orientation.Horizontal)}: {self._text(row, column)}"
        return None

    def _text(self, row: RegisterRow, column: Column) -> str:
        written = self._context.catalogue.written
        match column:
            case Column.LOT:
                return row.lot
            case Column.FORMULA:
                return f"{row.title} ({row.code})"
            case Column.VERSION:
                return str(row.version_number)
            case Column.MADE_ON:
                return written(row.made_on)
            case Column.USE_BY:
                return written(row.use_by)
            case Column.AWAY:
                return self._context.said(distance(today(self._context), row.use_by))
            case Column.TARGET:
                return row.target
            case Column.STAGE:
                return self._context.text(f"ui_register.stage.{row.stage.value}")
            case Column.LABELS:
                return str(row.labels_printed)
            case Column.STARTED_BY:
                return row.started_by


def _alignment(column: Column) -> Qt.AlignmentFlag:
    across = Qt.AlignmentFlag.AlignRight if column in _FIGURES else Qt.AlignmentFlag.AlignLeft
    return across | Qt.AlignmentFlag.AlignVCenter
