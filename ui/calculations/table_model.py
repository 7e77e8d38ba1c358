"""A reference table as a model: its figures, then each row's source and what is doubtful in it."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QObject, QPersistentModelIndex, Qt

from formulary.calculating.tables import table
from formulary.calculating.tariffs import FOLDER, tariff_rows
from formulary.catalogue import UnknownTextError
from ui import signs
from ui.context import Context

Index = QModelIndex | QPersistentModelIndex
_ABOUT_ROWS = ("source", "edition", "url", "seen", "doubtful", "annex_value_seen")
DOUBT, SOURCE = "doubt", "source"


def rows_of(name: str) -> tuple[Mapping[str, Any], ...]:
    """Return the rows of a table; a tariff's rules are its rows."""
    folder, _, tariff = name.partition("/")
    return tariff_rows(tariff) if folder == FOLDER else table(name)


class TableModel(QAbstractTableModel):
    """Read only. The two last columns are ours, the others those of the file."""

    def __init__(self, context: Context, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._context = context
        self._rows: tuple[Mapping[str, Any], ...] = ()
        self.columns: tuple[str, ...] = ()

    def show_table(self, name: str) -> None:
        """Show a table by the name of its file."""
        self.beginResetModel()
        self._rows = rows_of(name)
        keys = dict.fromkeys(key for row in self._rows for key in row)
        own = [key for key in keys if key not in _ABOUT_ROWS]
        self.columns = (*own, DOUBT, SOURCE)
        self.endResetModel()

    @property
    def has_doubts(self) -> bool:
        """Whether any row is to be checked before use."""
        return any(self._doubt(row) for row in self._rows)

    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008 - Qt's own default
        """Return how many rows there are."""
        return 0 if parent.isValid() else len(self._rows)

    def columnCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008 - Qt's own default
        """Return how many columns there are."""
        return 0 if parent.isValid() else len(self.columns)

    def headerData(
        self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole
    ) -> object:
        """Return a column's name: the file's, in words."""
        if orientation == Qt.Orientation.Vertical or role != Qt.ItemDataRole.DisplayRole:
            return None
        if not 0 <= section < len(self.columns):
            return None
        column = self.columns[section]
        if column in (DOUBT, SOURCE):
            return self._context.text(f"ui_calculations.tables.{column}")
        return self._heading(column)

    def _heading(self, column: str) -> str:
        """Return a column's words; those that hold a unit or a temperature are written out."""
        try:
            return self._context.text(f"ui_calculations.tables.column.{column}")
        except UnknownTextError:
            return column.replace("_", " ").capitalize()

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        """Return a figure as the file has it, a row's source, or its doubt with a sign."""
        if not index.isValid():
            return None
        row, column = self._rows[index.row()], self.columns[index.column()]
        if role in (Qt.ItemDataRole.DisplayRole, Qt.ItemDataRole.ToolTipRole):
            return self._text(row, column)
        if role == Qt.ItemDataRole.DecorationRole and column == DOUBT and self._doubt(row):
            return signs.icon(signs.Sign.TRIANGLE)
        return None

    def _text(self, row: Mapping[str, Any], column: str) -> str:
        if column == DOUBT:
            return self._doubt(row)
        if column == SOURCE:
            edition = str(row.get("edition", ""))
            source = str(row["source"])
            return source if not edition or edition in source else f"{source}; {edition}"
        value = row.get(column, "")
        if isinstance(value, bool):
            return self._context.text(f"ui_calculations.{'yes' if value else 'no'}")
        return str(value)

    def _doubt(self, row: Mapping[str, Any]) -> str:
        text = self._context.text
        if "doubtful" in row:
            return text("ui_calculations.tables.doubtful", why=str(row["doubtful"]))
        return "" if row.get("seen") else text("ui_calculations.tables.unseen")
