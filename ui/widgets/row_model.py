"""Rows as a model whose cells are written once; what the models of the pages' lists share."""

from __future__ import annotations

from collections.abc import Collection, Iterable
from dataclasses import dataclass
from enum import IntEnum
from typing import Generic, TypeVar

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QObject, QPersistentModelIndex, Qt
from PySide6.QtGui import QColor

from ui import signs, theme
from ui.context import Context

Index = QModelIndex | QPersistentModelIndex
Row = TypeVar("Row")


@dataclass(frozen=True, slots=True)
class Columns:
    """The columns of a list, in reading order; a heading's key is its name in small letters.

    ``signed`` has a sign and its ink, ``quiet`` ones quiet ink, ``figures`` stand at the right.
    """

    area: str
    every: type[IntEnum]
    signed: int
    quiet: Collection[int] = ()
    figures: Collection[int] = ()

    def alignment(self, column: int) -> Qt.AlignmentFlag:
        """Return where a column's text stands."""
        right = column in self.figures
        across = Qt.AlignmentFlag.AlignRight if right else Qt.AlignmentFlag.AlignLeft
        return across | Qt.AlignmentFlag.AlignVCenter

    def heading(self, context: Context, column: int) -> str:
        """Return a column's heading."""
        return context.text(f"{self.area}.column.{self.every(column).name.lower()}")


class RowModel(QAbstractTableModel, Generic[Row]):
    """Shows rows; what a row is, its list says in :meth:`written`, :meth:`key` and :meth:`sign`."""

    def __init__(self, context: Context, columns: Columns, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.context = context
        self._columns = columns
        self._rows: list[Row] = []
        self._texts: list[tuple[str, ...]] = []

    def written(self, row: Row) -> tuple[str, ...]:
        """Return what the cells of a row say, in the order of the columns."""
        raise NotImplementedError

    def key(self, row: Row) -> str:
        """Return what a row is known by."""
        raise NotImplementedError

    def sign(self, row: Row) -> signs.Sign:
        """Return the sign of a row's standing."""
        raise NotImplementedError

    def show_rows(self, rows: Iterable[Row]) -> None:
        """Show these rows and no others."""
        self.beginResetModel()
        self._rows = list(rows)
        self._texts = [self.written(each) for each in self._rows]
        self.endResetModel()

    def row(self, number: int) -> Row | None:
        """Return a row, None past the end."""
        return self._rows[number] if 0 <= number < len(self._rows) else None

    def row_of(self, key: str) -> int:
        """Return the number of a row by what it is known by, -1 if it isn't listed."""
        keys = [self.key(each) for each in self._rows]
        return keys.index(key) if key in keys else -1

    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008 - Qt's own default
        """Return how many rows are here; a row has none below it."""
        return 0 if parent.isValid() else len(self._rows)

    def columnCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008 - Qt's own default
        """Return how many columns there are."""
        return 0 if parent.isValid() else len(self._columns.every)

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
            return self._columns.alignment(section)
        if role == Qt.ItemDataRole.DisplayRole:
            return self._columns.heading(self.context, section)
        return None

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        """Return what a cell shows; a standing has its sign and its ink."""
        if not 0 <= index.row() < len(self._texts):
            return None
        row, column = self._rows[index.row()], index.column()
        text, signed = self._texts[index.row()][column], column == self._columns.signed
        match role:
            case Qt.ItemDataRole.DisplayRole | Qt.ItemDataRole.ToolTipRole:
                shown: object = text
            case Qt.ItemDataRole.TextAlignmentRole:
                shown = self._columns.alignment(column)
            case Qt.ItemDataRole.ForegroundRole if signed:
                shown = QColor(signs.colour_of(self.sign(row)))
            case Qt.ItemDataRole.ForegroundRole if column in self._columns.quiet:
                shown = QColor(theme.colours().quiet)
            case Qt.ItemDataRole.DecorationRole if signed:
                shown = signs.icon(self.sign(row))
            case Qt.ItemDataRole.AccessibleTextRole:
                shown = f"{self._columns.heading(self.context, column)}: {text}"
            case _:
                shown = None
        return shown
