"""A form: a column of fields made from a table of them, its values texts by name."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from PySide6.QtCore import QSize, Signal, SignalInstance
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QLineEdit, QWidget

from formulary.messages import Message, message
from ui import theme
from ui.context import Context
from ui.forms.fields import FormField, Kind
from ui.forms.form_grid import FormGrid, FormRow
from ui.forms.inputs import Input, LineInput, input_for
from ui.widgets.words import label

WIDEST = 560
NAMES_WIDTH = 208
LEAST = 200


class Form(QWidget):
    """Shows values and takes them; ``edited`` tells each change by the person."""

    edited = Signal()

    def __init__(
        self,
        context: Context,
        area: str,
        fields: Sequence[FormField],
        *,
        names_width: int = NAMES_WIDTH,
    ) -> None:
        super().__init__()
        self._context, self._area = context, area
        self._fields = {field.name: field for field in fields}
        self.inputs: dict[str, Input] = {}
        self._grid = FormGrid(self, names_width)
        self.setMaximumWidth(theme.px(WIDEST + NAMES_WIDTH))
        for field in fields:
            self._add(field)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Put names above their fields where it is narrow."""
        super().resizeEvent(event)
        self._grid.fit(event.size().width())

    def minimumSizeHint(self) -> QSize:
        """Ask for little width, since names may stand above their fields."""
        return QSize(theme.px(LEAST), super().minimumSizeHint().height())

    def values(self) -> dict[str, str]:
        """Return the values as they stand."""
        return {name: each.text() for name, each in self.inputs.items()}

    def stops(self) -> list[QWidget]:
        """Return where Tab stops, in the order of reading."""
        return list(self.inputs.values())

    def show_values(self, values: Mapping[str, str]) -> None:
        """Show values without telling anybody; what is wrong with them is shown too."""
        for name, each in self.inputs.items():
            each.show_trouble(None)
            each.set_text(values.get(name, ""))

    def show_trouble(self, name: str, trouble: Message) -> None:
        """Show what is wrong at a field and go there."""
        self.inputs[name].show_trouble(trouble)
        self.inputs[name].setFocus()

    def set_editable(self, editable: bool) -> None:  # noqa: FBT001 - a setter
        """Let the values be edited or only read."""
        for each in self.inputs.values():
            each.setEnabled(editable)

    def entered(self, name: str) -> SignalInstance:
        """Return the signal of Enter in a line."""
        return self._line(name).returnPressed

    def finished(self, name: str) -> SignalInstance:
        """Return the signal of Enter in a line, and of leaving it."""
        return self._line(name).editingFinished

    def _line(self, name: str) -> QLineEdit:
        made = self.inputs[name]
        if not isinstance(made, LineInput):
            raise TypeError(f"{name} is no line")
        return made.edit.line

    def first_trouble(self) -> str:
        """Return the first field that something is wrong with; what is required is asked for."""
        for name, field in self._fields.items():
            if field.required and not self.inputs[name].text().strip():
                field_name = message(f"{self._area}.field.{name}")
                self.inputs[name].show_trouble(message("ui_forms.needed", field=field_name))
        return next((name for name, each in self.inputs.items() if not each.sound), "")

    def _add(self, field: FormField) -> None:
        name = self._context.text(f"{self._area}.field.{field.name}")
        made = input_for(field, name, self._context.said)
        made.setObjectName(field.name)
        made.edited.connect(self.edited)
        self.inputs[field.name] = made
        words = label(name, "quiet") if field.kind is not Kind.FLAG else None
        hint_key = f"{self._area}.hint.{field.name}"
        hint = label(self._context.text(hint_key), "note") if field.hint else None
        self._grid.add_row(FormRow(words, made, hint))
