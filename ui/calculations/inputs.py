"""The inputs of a calculation, made from its description; what is typed is kept."""

from __future__ import annotations

from collections.abc import Mapping

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QVBoxLayout, QWidget

from formulary.calculating.describing import Calculation
from formulary.calculating.saying import in_house_sign
from formulary.errors import BadText, FormularyError
from ui.calculations.input_row import InputRow, input_row
from ui.context import Context
from ui.widgets.words import spaced


class Inputs(QWidget):
    """Rows of inputs; ``edited`` tells each change by the person."""

    edited = Signal()

    def __init__(self, context: Context) -> None:
        super().__init__()
        self._context = context
        self._calculation: Calculation | None = None
        self._kept: dict[str, dict[str, str]] = {}
        self.rows: dict[str, InputRow] = {}
        self._box = QVBoxLayout(self)
        spaced(self._box)

    def show_calculation(self, calculation: Calculation) -> None:
        """Show a calculation's inputs with what was typed there before."""
        self._clear()
        self._calculation = calculation
        before = self._kept.get(calculation.name, {})
        for described in calculation.inputs:
            row = input_row(self._context, calculation, described)
            row.set_text(before.get(described.name, ""))
            row.edited.connect(self._edited)
            self._box.addWidget(row)
            self.rows[described.name] = row
        self._show_use()

    def typed(self) -> dict[str, str]:
        """Return what is typed, by name, nothing for what is left empty."""
        texts = {name: row.typed() for name, row in self.rows.items()}
        return {name: text for name, text in texts.items() if text}

    @property
    def touched(self) -> bool:
        """Whether the person typed anything or chose anything but a proposal."""
        return any(row.touched for row in self.rows.values())

    @property
    def sound(self) -> bool:
        """Whether each value can be read."""
        return all(row.sound for row in self.rows.values())

    def missing(self) -> list[str]:
        """Return the titles of the inputs that are still needed."""
        rows = self.rows.values()
        return [row.title for row in rows if row.described.required and not row.typed()]

    def fill(self, texts: Mapping[str, str]) -> None:
        """Put texts into the fields, and nothing into the others."""
        for name, row in self.rows.items():
            row.set_text(texts.get(name, ""))
        self._edited()

    def fill_example(self) -> None:
        """Put the example into the fields."""
        if self._calculation is not None:
            sign = self._context.catalogue.decimal_sign
            examples = self._calculation.examples
            self.fill({name: in_house_sign(text, sign) for name, text in examples})

    def show_trouble(self, trouble: FormularyError) -> bool:
        """Mark the input that an error is about; return False if it is about none of them."""
        if not isinstance(trouble, BadText) or trouble.field not in self.rows:
            return False
        self.rows[trouble.field].show_trouble(trouble.message)
        return True

    def enter(self) -> None:
        """Go to the first input, its figure selected so that typing replaces it."""
        for row in self.rows.values():
            row.setFocus(Qt.FocusReason.ShortcutFocusReason)
            return

    def stops(self) -> list[QWidget]:
        """Return the fields in their order."""
        return [row.focusProxy() or row for row in self.rows.values()]

    def empty(self) -> None:
        """Empty every field and choose the units as at first."""
        for row in self.rows.values():
            row.restore()
        self._edited()

    def _edited(self) -> None:
        if self._calculation is not None:
            texts = {name: row.typed() for name, row in self.rows.items()}
            self._kept[self._calculation.name] = texts
        for row in self.rows.values():
            row.reread()
        self._show_use()
        self.edited.emit()

    def _show_use(self) -> None:
        """Leave examples to an untouched form: beside a result they would pass for its figures."""
        touched = self.touched
        for row in self.rows.values():
            row.show_use(touched=touched)

    def _clear(self) -> None:
        for row in self.rows.values():
            self._box.removeWidget(row)
            row.hide()
            row.deleteLater()
        self.rows = {}
