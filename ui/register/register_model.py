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

from formulary.bench.stages import named
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
        self._texts: list[tuple[str, ...]] = []
        self._complete = True

    def show_rows(self, rows: Sequence[RegisterRow]) -> None:
        """Show the first page of an answer."""
        self.beginResetModel()
        self._rows, self._texts = [], []
        self._take(rows)
        self._complete = len(rows) < PAGE
        self.endResetModel()

    def add_rows(self, rows: Sequence[RegisterRow]) -> None:
        """Add a further page."""
        if rows:
            first = len(self._rows)
            self.beginInsertRows(QModelIndex(), first, first + len(rows) - 1)
            self._take(rows)
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
        if not 0 <= index.row() < len(self._texts):
            return None
        column = Column(index.column())
        text = self._texts[index.row()][column]
        match role:
            case Qt.ItemDataRole.DisplayRole:
                shown: object = text
            case Qt.ItemDataRole.ToolTipRole:
                shown = f"{text} ({self._rows[index.row()].code})" if _is_title(column) else text
            case Qt.ItemDataRole.TextAlignmentRole:
                shown = _alignment(column)
            case Qt.ItemDataRole.ForegroundRole:
                shown = QColor(theme.colours().quiet) if column in _QUIET else None
            case Qt.ItemDataRole.AccessibleTextRole:
                shown = f"{self.headerData(column, Qt.Orientation.Horizontal)}: {text}"
            case _:
                shown = None
        return shown

    def _take(self, rows: Sequence[RegisterRow]) -> None:
        self._rows += rows
        self._texts += map(self._written, rows)

    def _written(self, row: RegisterRow) -> tuple[str, ...]:
        """Return what the cells of a row say, in the order of the columns."""
        written = self._context.catalogue.written
        return (
            row.lot,
            row.title,
            str(row.version_number),
            written(row.made_on),
            written(row.use_by),
            self._context.said(distance(today(self._context), row.use_by)),
            row.target,
            self._context.said(named(row.stage)),
            str(row.labels_printed),
            row.started_by,
        )


def _is_title(column: Column) -> bool:
    return column is Column.FORMULA


def _alignment(column: Column) -> Qt.AlignmentFlag:
    across = Qt.AlignmentFlag.AlignRight if column in _FIGURES else Qt.AlignmentFlag.AlignLeft
    return across | Qt.AlignmentFlag.AlignVCenter
