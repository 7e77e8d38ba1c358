"""Rows of texts as a table that is edited in place and says what is wrong with a cell."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import (
    QAbstractTableModel,
    QModelIndex,
    QObject,
    QPersistentModelIndex,
    Qt,
    Signal,
)
from PySide6.QtGui import QColor

from formulary.errors import FormularyError
from formulary.messages import Message, message
from ui import signs, theme
from ui.context import Context
from ui.forms.fields import NO, YES, FormField, Kind

Index = QModelIndex | QPersistentModelIndex
Row = dict[str, str]


class RecordModel(QAbstractTableModel):
    """Each row the texts of one record by field; what a row holds beyond the fields is kept."""

    edited = Signal()

    def __init__(
        self,
        context: Context,
        area: str,
        fields: Sequence[FormField],
        parent: QObject | None = None,
    ) -> None:
        super().__init__(parent)
        self._context, self._area = context, area
        self.fields = tuple(fields)
        self._rows: list[Row] = []

    def rows(self) -> list[Row]:
        """Return the rows, those with nothing in them left out."""
        return [dict(row) for row in self._rows if not self._is_empty(row)]

    def row(self, number: int) -> Row:
        """Return one row as it stands."""
        return dict(self._rows[number])

    def show_rows(self, rows: Sequence[Row]) -> None:
        """Show these rows without telling anybody."""
        self.beginResetModel()
        self._rows = [dict(row) for row in rows]
        self.endResetModel()

    def add_row(self) -> int:
        """Add an empty row at the end and return its number."""
        number = len(self._rows)
        self.beginInsertRows(QModelIndex(), number, number)
        self._rows.append({field.name: _first(field) for field in self.fields})
        self.endInsertRows()
        self.edited.emit()
        return number

    def remove_row(self, number: int) -> None:
        """Take a row out."""
        if 0 <= number < len(self._rows):
            self.beginRemoveRows(QModelIndex(), number, number)
            del self._rows[number]
            self.endRemoveRows()
            self.edited.emit()

    def trouble(self, number: int, field: FormField) -> Message | None:
        """Return what is wrong with a cell, None where nothing is."""
        row = self._rows[number]
        text = row.get(field.name, "").strip()
        if self._is_empty(row):
            return None
        if not text:
            name = message(f"{self._area}.field.{field.name}")
            return message("ui_forms.needed", field=name) if field.required else None
        try:
            meaning = field.understand(text)
        except FormularyError as error:
            return error.message
        return meaning.question

    def troubles(self, number: int) -> tuple[Message, ...]:
        """Return what is wrong with a row, by the order of its fields."""
        found = (self.trouble(number, field) for field in self.fields)
        return tuple(each for each in found if each is not None)

    def first_trouble(self) -> tuple[int, int] | None:
        """Return row and column of the first cell that something is wrong with."""
        for number in range(len(self._rows)):
            for column, field in enumerate(self.fields):
                if self.trouble(number, field) is not None:
                    return number, column
        return None

    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008 - Qt's own default
        """Return how many rows there are; a row has none below it."""
        return 0 if parent.isValid() else len(self._rows)

    def columnCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008 - Qt's own default
        """Return how many fields a row has."""
        return 0 if parent.isValid() else len(self.fields)

    def flags(self, index: Index) -> Qt.ItemFlag:
        """Let every cell be edited; a flag is ticked."""
        found = super().flags(index)
        if not index.isValid():
            return found
        if self.fields[index.column()].kind is Kind.FLAG:
            return found | Qt.ItemFlag.ItemIsUserCheckable
        return found | Qt.ItemFlag.ItemIsEditable

    def headerData(
        self,
        section: int,
        orientation: Qt.Orientation,
        role: int = Qt.ItemDataRole.DisplayRole,
    ) -> object:
        """Return a field's name above its column."""
        if orientation is not Qt.Orientation.Horizontal:
            return None
        if role == Qt.ItemDataRole.TextAlignmentRole:
            return Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter
        if role == Qt.ItemDataRole.DisplayRole:
            return self.name(section)
        return None

    def name(self, column: int) -> str:
        """Return the name of a column's field."""
        return self._context.text(f"{self._area}.field.{self.fields[column].name}")

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        """Return what a cell shows; what is wrong has a sign and a sentence."""
        if not index.isValid() or index.row() >= len(self._rows):
            return None
        field = self.fields[index.column()]
        text = self._rows[index.row()].get(field.name, "")
        if role == Qt.ItemDataRole.EditRole:
            return text
        if role == Qt.ItemDataRole.DisplayRole:
            return _shown(field, text)
        if role == Qt.ItemDataRole.CheckStateRole and field.kind is Kind.FLAG:
            return Qt.CheckState.Checked if text else Qt.CheckState.Unchecked
        return self._sign(index, field, role)

    def setData(self, index: Index, value: object, role: int = Qt.ItemDataRole.EditRole) -> bool:
        """Take what was typed or ticked."""
        field = self.fields[index.column()]
        if role == Qt.ItemDataRole.CheckStateRole:
            text = YES if Qt.CheckState(value) is Qt.CheckState.Checked else NO
        else:
            text = str(value).strip()
        if text != self._rows[index.row()].get(field.name, ""):
            self._rows[index.row()][field.name] = text
            last = self.index(index.row(), len(self.fields) - 1)
            self.dataChanged.emit(self.index(index.row(), 0), last)
            self.edited.emit()
        return True

    def _sign(self, index: Index, field: FormField, role: int) -> object:
        shown = (
            Qt.ItemDataRole.ForegroundRole,
            Qt.ItemDataRole.DecorationRole,
            Qt.ItemDataRole.ToolTipRole,
            Qt.ItemDataRole.AccessibleTextRole,
        )
        trouble = self.trouble(index.row(), field) if role in shown else None
        text = _shown(field, self._rows[index.row()].get(field.name, ""))
        if role == Qt.ItemDataRole.AccessibleTextRole:
            said = self._context.said(trouble) if trouble is not None else ""
            return " ".join(filter(None, (f"{self.name(index.column())}: {text}", said)))
        if trouble is None:
            return text if role == Qt.ItemDataRole.ToolTipRole else None
        if role == Qt.ItemDataRole.ForegroundRole:
            return QColor(theme.colours().stop)
        if role == Qt.ItemDataRole.DecorationRole:
            return signs.icon(signs.Sign.OCTAGON)
        return self._context.said(trouble)

    def _is_empty(self, row: Row) -> bool:
        """Tell whether nobody wrote into a row; what stands there from the start doesn't count."""
        lines = (each for each in self.fields if each.kind is Kind.LINE)
        return all(row.get(each.name, "") in ("", each.at_first) for each in lines)


def _first(field: FormField) -> str:
    """Return what a field of a new row holds."""
    choices = field.choices() if field.kind is Kind.CHOICE else ()
    return choices[0][1] if choices else field.at_first


def _shown(field: FormField, text: str) -> str:
    if field.kind is Kind.CHOICE:
        return next((said for said, value in field.choices() if value == text), text)
    return "" if field.kind is Kind.FLAG else text
