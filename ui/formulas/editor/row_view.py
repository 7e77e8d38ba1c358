"""One row of a repeated group: its fields on one line, further ones below on demand."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QGridLayout, QVBoxLayout, QWidget

from formulary.messages import Message
from ui import theme
from ui.context import Context
from ui.forms.fields import FormField
from ui.forms.inputs import ChoiceInput, Input, TextInput, input_for
from ui.formulas.editor.tables import AREA, RowTable
from ui.formulas.editor.values import text_of
from ui.widgets.words import label, spaced

SHORT, TEXT_LINES = 5, 2


class RowView(QWidget):
    """Shows a row's fields; ``edited`` tells the name of the field and its text."""

    edited = Signal(str, str)

    def __init__(self, context: Context, table: RowTable) -> None:
        super().__init__()
        self._context, self._table = context, table
        self.inputs: dict[str, Input] = {}
        self._details = QWidget()
        box = QVBoxLayout(self)
        spaced(box, inside=4)
        box.addLayout(self._line())
        box.addWidget(self._details)
        self._fill_details()
        self._details.hide()

    def show_row(self, row: Mapping[str, Any]) -> None:
        """Show a row without telling anybody."""
        for name, each in self.inputs.items():
            each.set_text(text_of(name, row.get(name)))

    def show_more(self) -> None:
        """Open or close the details."""
        if self._table.details:
            self._details.setVisible(self._details.isHidden())
            first = self._table.details[0] if self._details.isVisible() else self._table.fields[0]
            self.inputs[first.name].setFocus()

    def show_trouble(self, name: str, trouble: Message | None) -> None:
        """Show what is wrong at a field; a hidden one comes into view."""
        self.inputs[name].show_trouble(trouble)
        if trouble is not None and any(name == each.name for each in self._table.details):
            self._details.show()

    def go_to(self, name: str) -> None:
        """Put the cursor into a field."""
        if any(name == each.name for each in self._table.details):
            self._details.show()
        self.inputs.get(name, self.inputs[self._table.fields[0].name]).setFocus()

    def _line(self) -> QGridLayout:
        line = QGridLayout()
        spaced(line, inside=4)
        for column, field in enumerate(self._table.fields):
            line.addWidget(self._input(field), 0, column, Qt.AlignmentFlag.AlignTop)
            line.setColumnStretch(column, self._table.widths[column])
        return line

    def _fill_details(self) -> None:
        grid = QGridLayout(self._details)
        spaced(grid, inside=4)
        grid.setContentsMargins(theme.px(24), 0, 0, theme.px(8))
        grid.setColumnStretch(1, 1)
        for row, field in enumerate(self._table.details):
            grid.addWidget(label(self._words(field), "note", wrap=False), row, 0)
            grid.addWidget(self._input(field), row, 1)

    def _input(self, field: FormField) -> Input:
        made = input_for(field, self._words(field), self._context.said)
        made.edited.connect(lambda: self.edited.emit(field.name, made.text()))
        self.inputs[field.name] = made
        if isinstance(made, ChoiceInput):
            made.box.setMinimumContentsLength(SHORT)
        if isinstance(made, TextInput):
            lines = made.box.fontMetrics().lineSpacing() * TEXT_LINES
            made.box.setFixedHeight(lines + theme.px(20))
        return made

    def _words(self, field: FormField) -> str:
        return self._context.text(f"{AREA}.{self._table.name}.{field.name}")
