"""A repeated group of the form: rows that are added, removed and moved by keys."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from PySide6.QtCore import QEvent, QObject, Qt, Signal
from PySide6.QtGui import QAction, QKeyEvent
from PySide6.QtWidgets import (
    QApplication,
    QGridLayout,
    QLineEdit,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from formulary.messages import Message
from ui.context import Context
from ui.formulas.editor.row_view import RowView
from ui.formulas.editor.tables import AREA, RowTable
from ui.widgets.flow_layout import FlowLayout
from ui.widgets.quantity_edit import QuantityEdit
from ui.widgets.words import action, button, label, spaced


class RowsEditor(QWidget):
    """Shows the rows of a table; what the person does to them is told by signals."""

    edited = Signal(int, str, str)
    add_wanted = Signal(int)
    remove_wanted = Signal(int)
    move_wanted = Signal(int, int)

    def __init__(self, context: Context, table: RowTable) -> None:
        super().__init__()
        self._context, self.table = context, table
        self.rows: list[RowView] = []
        self._box = QVBoxLayout()
        spaced(self._box, inside=4)
        whole = QVBoxLayout(self)
        spaced(whole, inside=4)
        whole.addLayout(self._head())
        whole.addLayout(self._box)
        acts = self._acts()
        self._add_button = self._act_button(acts[0])
        buttons = FlowLayout()
        for made in (self._add_button, *map(self._act_button, acts[1:])):
            buttons.addWidget(made)
        whole.addLayout(buttons)

    def show_rows(self, rows: Sequence[dict[str, Any]]) -> None:
        """Show these rows without telling anybody."""
        while len(self.rows) > len(rows):
            last = self.rows.pop()
            self._box.removeWidget(last)
            last.hide()
            last.deleteLater()
        while len(self.rows) < len(rows):
            self._append()
        for view, row in zip(self.rows, rows, strict=True):
            view.show_row(row)
        # Where there is no row, its key has nowhere to be pressed: the button takes the focus.
        policies = Qt.FocusPolicy
        self._add_button.setFocusPolicy(policies.NoFocus if rows else policies.StrongFocus)

    def stops(self) -> list[QWidget]:
        """Return where Tab stops, in the order of reading."""
        inputs = [each for row in self.rows for each in row.inputs.values()]
        return [*inputs] or [self._add_button]

    def current(self) -> int:
        """Return the position of the row with the focus, the last one where none has it."""
        focused = QApplication.focusWidget()
        for position, row in enumerate(self.rows):
            if focused is not None and row.isAncestorOf(focused):
                return position
        return len(self.rows) - 1

    def go_to(self, position: int, name: str = "") -> None:
        """Put the cursor into a row."""
        if 0 <= position < len(self.rows):
            self.rows[position].go_to(name)
        elif not self.rows:
            self._add_button.setFocus()

    def show_trouble(self, position: int, name: str, trouble: Message | None) -> None:
        """Show what is wrong in a row."""
        self.rows[position].show_trouble(name, trouble)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Go on to the next row by Enter; after the last one a new one comes."""
        if isinstance(event, QKeyEvent) and event.type() == QEvent.Type.KeyPress:
            entered = event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter)
            if entered and not event.modifiers() and not _in_question(watched):
                self._next_row()
                return True
        return super().eventFilter(watched, event)

    def _head(self) -> QGridLayout:
        head = QGridLayout()
        spaced(head, inside=4)
        for column, field in enumerate(self.table.fields):
            words = self._context.text(f"{AREA}.{self.table.name}.{field.name}")
            head.addWidget(label(words, "note", wrap=False), 0, column)
            head.setColumnStretch(column, self.table.widths[column])
        return head

    def _acts(self) -> list[QAction]:
        text = self._context.text
        acts = [
            action(self, text(f"{AREA}.add_row"), "Alt+Insert", self._add),
            action(self, text(f"{AREA}.remove_row"), "Alt+Del", self._remove),
            action(self, text(f"{AREA}.move_up"), "Alt+Up", lambda: self._move(-1)),
            action(self, text(f"{AREA}.move_down"), "Alt+Down", lambda: self._move(1)),
        ]
        if self.table.details:
            acts.append(action(self, text(f"{AREA}.more"), "Alt+Return", self._more))
        return acts

    def _act_button(self, act: QAction) -> QPushButton:
        """Return an act's button; the key does the same within a row, where the focus stays."""
        made = button(act)
        made.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        made.setAutoDefault(True)
        section = self._context.text(f"{AREA}.section.{self.table.name}")
        made.setAccessibleDescription(section)
        return made

    def _append(self) -> None:
        row = RowView(self._context, self.table)
        self.rows.append(row)
        self._box.addWidget(row)
        row.edited.connect(lambda name, text: self.edited.emit(self.rows.index(row), name, text))
        for line in row.findChildren(QLineEdit):
            line.installEventFilter(self)

    def _next_row(self) -> None:
        position = self.current() + 1
        if position < len(self.rows):
            self.go_to(position)
        else:
            self.add_wanted.emit(position)

    def _add(self) -> None:
        self.add_wanted.emit(self.current() + 1)

    def _remove(self) -> None:
        if self.rows:
            self.remove_wanted.emit(self.current())

    def _move(self, step: int) -> None:
        position = self.current()
        if self.rows and 0 <= position + step < len(self.rows):
            self.move_wanted.emit(position, position + step)

    def _more(self) -> None:
        if self.rows:
            self.rows[self.current()].show_more()


def _in_question(line: QObject) -> bool:
    """Whether Enter in this line has a proposal to confirm first."""
    edit = line.parent()
    return isinstance(edit, QuantityEdit) and edit.meaning.question is not None
