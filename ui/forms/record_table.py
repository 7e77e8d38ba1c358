"""An editable table of records with its acts: add a row, remove a row."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QModelIndex, QObject, QPersistentModelIndex, Qt, Signal
from PySide6.QtGui import QFocusEvent, QKeyEvent, QResizeEvent
from PySide6.QtWidgets import (
    QAbstractItemView,
    QHeaderView,
    QLineEdit,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QTableView,
    QVBoxLayout,
    QWidget,
)

from ui import signs, theme
from ui.context import Context
from ui.forms.fields import FormField, Kind
from ui.forms.record_model import RecordModel, Row
from ui.forms.signed_text import SignedText
from ui.widgets.choice_box import ChoiceBox
from ui.widgets.flow_layout import FlowLayout
from ui.widgets.words import action, button, label, set_role, spaced

Index = QModelIndex | QPersistentModelIndex
WIDTH = 120
LEAST_HEIGHT = 160


class CellEditor(QStyledItemDelegate):
    """Edits a cell as a line or a choice, under the column's name for a screen reader.

    What is typed is taken at each key, so that it is judged and kept while one types.
    """

    def createEditor(self, parent: QWidget, option: QStyleOptionViewItem, index: Index) -> QWidget:
        """Return the editor of a cell."""
        model = index.model()
        field = model.fields[index.column()] if isinstance(model, RecordModel) else None
        name = model.name(index.column()) if isinstance(model, RecordModel) else ""
        if field is not None and field.kind is Kind.CHOICE:
            box = ChoiceBox(name)
            box.setParent(parent)
            box.fill(list(field.choices()))
            return box
        editor = super().createEditor(parent, option, index)
        editor.setAccessibleName(name)
        if isinstance(editor, QLineEdit):
            editor.textEdited.connect(lambda _: self.commitData.emit(editor))
        return editor

    def setEditorData(self, editor: QWidget, index: Index) -> None:
        """Show the cell's text in its editor."""
        if isinstance(editor, ChoiceBox):
            editor.choose(index.data(Qt.ItemDataRole.EditRole))
        elif not _holds(editor, str(index.data(Qt.ItemDataRole.EditRole))):
            super().setEditorData(editor, index)

    def setModelData(self, editor: QWidget, model: QObject, index: Index) -> None:
        """Take what the editor holds."""
        if isinstance(editor, ChoiceBox) and isinstance(model, RecordModel):
            model.setData(index, editor.currentData())
        elif isinstance(model, RecordModel):
            super().setModelData(editor, model, index)


def _holds(editor: QWidget, text: str) -> bool:
    """Tell whether a line says a text already; its spaces are the typist's own."""
    return isinstance(editor, QLineEdit) and editor.text().strip() == text


class Table(QTableView):
    """A table that Tab leaves, and in which Enter edits."""

    def __init__(self, name: str, model: RecordModel) -> None:
        super().__init__()
        self.setAccessibleName(name)
        self.setModel(model)
        self.setTabKeyNavigation(False)
        self.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        self.setItemDelegate(CellEditor(self))
        self.setWordWrap(False)
        self.verticalHeader().hide()
        self.verticalHeader().setDefaultSectionSize(theme.px(36))
        header = self.horizontalHeader()
        header.setHighlightSections(False)
        self._widths = [
            max(theme.px(WIDTH), header.fontMetrics().horizontalAdvance(name) + theme.px(28))
            for name in map(model.name, range(model.columnCount()))
        ]
        header.setMinimumSectionSize(theme.px(24))
        self.setMinimumHeight(theme.px(LEAST_HEIGHT))
        set_role(self, "grid")
        triggers = QAbstractItemView.EditTrigger
        self.setEditTriggers(
            triggers.DoubleClicked | triggers.EditKeyPressed | triggers.AnyKeyPressed
        )

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Let Enter edit the cell come to."""
        entered = event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter)
        editing = self.state() is QAbstractItemView.State.EditingState
        if entered and not editing and self.currentIndex().isValid():
            self.edit(self.currentIndex())
        else:
            super().keyPressEvent(event)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Give the first column what is left, or all the same where that is too little."""
        super().resizeEvent(event)
        header, modes = self.horizontalHeader(), QHeaderView.ResizeMode
        room, first = self.viewport().width(), 2 * theme.px(WIDTH)
        roomy = sum(self._widths[1:]) + first <= room
        header.setSectionResizeMode(modes.Interactive if roomy else modes.Stretch)
        if not roomy:
            return
        for column, width in enumerate(self._widths):
            header.resizeSection(column, width if column else first)
        header.setSectionResizeMode(0, modes.Stretch)

    def focusInEvent(self, event: QFocusEvent) -> None:
        """Come to the first cell where none was come to yet."""
        super().focusInEvent(event)
        if not self.currentIndex().isValid() and self.model().rowCount():
            self.setCurrentIndex(self.model().index(0, 0))


class RecordTable(QWidget):
    """Rows to edit; ``edited`` tells each change. ``fixed`` rows can't be removed."""

    edited = Signal()

    def __init__(
        self,
        context: Context,
        area: str,
        name: str,
        fields: Sequence[FormField],
        *,
        fixed: bool = False,
    ) -> None:
        super().__init__()
        self._context = context
        self.model = RecordModel(context, area, fields, self)
        self.table = Table(name, self.model)
        self.nothing = label(context.text(f"{area}.nothing"), "quiet")
        self.trouble = SignedText(context, signs.Sign.OCTAGON, "stop")
        self.add = action(self, context.text("ui_forms.add_row"), "Ins", self._add)
        self.remove = action(self, context.text("ui_forms.remove_row"), "Ctrl+Del", self._remove)
        self.remove.setVisible(not fixed)
        box = QVBoxLayout(self)
        spaced(box, inside=8)
        row = FlowLayout()
        row.addWidget(button(self.add))
        row.addWidget(button(self.remove))
        box.addLayout(row)
        box.addWidget(self.nothing)
        box.addWidget(self.trouble)
        box.addWidget(self.table, 1)
        self.model.edited.connect(self.edited)
        self.model.edited.connect(self._show_state)
        self.table.selectionModel().currentChanged.connect(lambda *_: self._show_state())
        self._show_state()

    def rows(self) -> list[Row]:
        """Return the rows as they stand."""
        return self.model.rows()

    def show_rows(self, rows: Sequence[Row]) -> None:
        """Show rows without telling anybody."""
        self.model.show_rows(rows)
        self._show_state()

    def enter(self) -> None:
        """Go into the table."""
        self.table.setFocus()

    def go_to_trouble(self) -> bool:
        """Go to the first cell that something is wrong with; False where nothing is."""
        found = self.model.first_trouble()
        if found is None:
            return False
        self.go_to(*found)
        return True

    def go_to(self, row: int, column: int) -> None:
        """Come to a cell."""
        self.table.setFocus()
        self.table.setCurrentIndex(self.model.index(row, column))
        self._show_state()

    def _add(self) -> None:
        self.go_to(self.model.add_row(), 0)
        self.table.edit(self.table.currentIndex())

    def _remove(self) -> None:
        self.model.remove_row(self.table.currentIndex().row())
        self.table.setFocus()

    def _show_state(self) -> None:
        row = self.table.currentIndex().row()
        here = self.model.troubles(row) if 0 <= row < self.model.rowCount() else ()
        self.trouble.say([self._context.said(each) for each in here])
        self.nothing.setVisible(not self.model.rowCount())
        self.remove.setEnabled(self.model.rowCount() > 0)
