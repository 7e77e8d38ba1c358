"""Records with many fields: a list of their names, and the form of the one come to below it."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import (
    QIdentityProxyModel,
    QModelIndex,
    QPersistentModelIndex,
    Qt,
    Signal,
)
from PySide6.QtGui import QFocusEvent
from PySide6.QtWidgets import QListView, QVBoxLayout, QWidget

from ui import signs, theme
from ui.context import Context
from ui.forms.fields import FormField
from ui.forms.form import NAMES_WIDTH, WIDEST, Form
from ui.forms.record_model import RecordModel, Row
from ui.widgets.flow_layout import FlowLayout
from ui.widgets.words import action, button, hairline, label, set_role, spaced

Index = QModelIndex | QPersistentModelIndex
MOST_ROWS = 8


class Names(QIdentityProxyModel):
    """The first field of each record; a sign where anything is wrong with the record."""

    def __init__(self, context: Context, model: RecordModel) -> None:
        super().__init__(model)
        self._context, self._records = context, model
        self.setSourceModel(model)

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        """Return a name, and what is wrong with its record."""
        found = super().data(index, role)
        if role == Qt.ItemDataRole.DisplayRole:
            return found or self._context.text("ui_forms.unnamed")
        troubles = self._records.troubles(index.row()) if index.isValid() else ()
        if role == Qt.ItemDataRole.DecorationRole:
            return signs.icon(signs.Sign.OCTAGON) if troubles else None
        if role == Qt.ItemDataRole.AccessibleTextRole:
            return " ".join((str(self.data(index)), *map(self._context.said, troubles)))
        return None if role == Qt.ItemDataRole.ForegroundRole else found

    def flags(self, index: Index) -> Qt.ItemFlag:
        """Let names be read here; they are edited in the form."""
        return super().flags(index) & ~Qt.ItemFlag.ItemIsEditable


class NameList(QListView):
    """As tall as its names, within reason."""

    def __init__(self, name: str, names: Names) -> None:
        super().__init__()
        self.setAccessibleName(name)
        self.setModel(names)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        set_role(self, "names")
        self.setMaximumWidth(theme.px(WIDEST + NAMES_WIDTH))
        for told in (names.rowsInserted, names.rowsRemoved, names.modelReset):
            told.connect(self._fit)
        self._fit()

    def focusInEvent(self, event: QFocusEvent) -> None:
        """Come to the first name where none was come to yet."""
        super().focusInEvent(event)
        if not self.currentIndex().isValid() and self.model().rowCount():
            self.setCurrentIndex(self.model().index(0, 0))

    def _fit(self) -> None:
        rows = min(self.model().rowCount(), MOST_ROWS)
        self.setFixedHeight(rows * max(self.sizeHintForRow(0), 0) + theme.px(4))


class RecordBook(QWidget):
    """Records to edit one at a time; ``edited`` tells each change by the person."""

    edited = Signal()

    def __init__(self, context: Context, area: str, name: str, fields: Sequence[FormField]) -> None:
        super().__init__()
        self.model = RecordModel(context, area, fields, self)
        self.list = NameList(name, Names(context, self.model))
        self.form = Form(context, area, fields)
        self.nothing = label(context.text(f"{area}.nothing"), "quiet")
        self.add = action(self, context.text("ui_forms.add_record"), "Ins", self._add)
        self.remove = action(self, context.text("ui_forms.remove_record"), "Ctrl+Del", self._remove)
        self._lay_out()
        self.form.edited.connect(self._take)
        self.model.edited.connect(self.edited)
        self.list.selectionModel().currentChanged.connect(lambda *_: self._show_record())
        self.list.activated.connect(lambda _: self._into_form(0))
        self._show_record()

    def rows(self) -> list[Row]:
        """Return the records as they stand."""
        return self.model.rows()

    def show_rows(self, rows: Sequence[Row]) -> None:
        """Show records without telling anybody; the place come to stays."""
        before = max(self.list.currentIndex().row(), 0)
        self.model.show_rows(rows)
        self._come_to(min(before, len(rows) - 1))

    def enter(self) -> None:
        """Go to the list, or where nothing is listed to what adds the first."""
        (self.list if self.model.rowCount() else self._add_button).setFocus()

    def go_to_trouble(self) -> bool:
        """Go to the first field that something is wrong with; False where nothing is."""
        found = self.model.first_trouble()
        if found is None:
            return False
        self.go_to(*found)
        self.form.first_trouble()
        return True

    def go_to(self, row: int, column: int) -> None:
        """Come to a record's field."""
        self._come_to(row)
        self._into_form(column)

    def _lay_out(self) -> None:
        box = QVBoxLayout(self)
        spaced(box, inside=12)
        box.addWidget(self.nothing)
        box.addWidget(self.list)
        row = FlowLayout()
        self._add_button = button(self.add)
        row.addWidget(self._add_button)
        row.addWidget(button(self.remove))
        box.addLayout(row)
        box.addWidget(hairline())
        box.addWidget(self.form)
        box.addStretch(1)

    def _come_to(self, row: int) -> None:
        self.list.setCurrentIndex(self.list.model().index(row, 0))
        self._show_record()

    def _into_form(self, column: int) -> None:
        list(self.form.inputs.values())[column].setFocus()

    def _show_record(self) -> None:
        row, there = self.list.currentIndex().row(), self.model.rowCount() > 0
        if row >= 0:
            self.form.show_values(self.model.row(row))
        self.form.setVisible(row >= 0)
        self.list.setVisible(there)
        self.nothing.setVisible(not there)
        self.remove.setEnabled(row >= 0)

    def _take(self) -> None:
        row = self.list.currentIndex().row()
        for column, text in enumerate(self.form.values().values()):
            self.model.setData(self.model.index(row, column), text)

    def _add(self) -> None:
        self.go_to(self.model.add_row(), 0)

    def _remove(self) -> None:
        row = self.list.currentIndex().row()
        self.model.remove_row(row)
        self._come_to(min(row, self.model.rowCount() - 1))
        self.list.setFocus()
