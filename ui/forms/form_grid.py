"""Where the parts of a form stand: names beside their fields, or above where it is narrow."""

from __future__ import annotations

from dataclasses import dataclass

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QGridLayout, QLabel, QWidget

from ui import theme
from ui.widgets.words import spaced

FIELD_NEEDS = 240


@dataclass(frozen=True, slots=True)
class FormRow:
    """A field with its name before it and a hint below it, where it has them."""

    name: QLabel | None
    field: QWidget
    hint: QLabel | None


class FormGrid(QGridLayout):
    """Lays the rows of a form out anew when its width asks for it."""

    def __init__(self, parent: QWidget, names_width: int) -> None:
        super().__init__(parent)
        self._rows: list[FormRow] = []
        self._names_width = names_width
        self._narrow = False
        spaced(self, inside=8)
        self.setColumnStretch(1, 1)

    def add_row(self, row: FormRow) -> None:
        """Add a row at the end."""
        self._rows.append(row)
        self._place(len(self._rows) - 1, row)

    def fit(self, width: int) -> None:
        """Put names above their fields where the width is too small for both."""
        narrow = width < theme.px(self._names_width + FIELD_NEEDS)
        if narrow != self._narrow:
            self._narrow = narrow
            for number, row in enumerate(self._rows):
                self._place(number, row)

    def heightForWidth(self, width: int) -> int:
        """Return the height at a width, of which the form takes no more than its widest."""
        return super().heightForWidth(self._taken(width))

    def minimumHeightForWidth(self, width: int) -> int:
        """Return the least height at a width, of which the form takes no more than its widest."""
        return super().minimumHeightForWidth(self._taken(width))

    def _taken(self, width: int) -> int:
        form = self.parentWidget()
        return width if form is None else min(width, form.maximumWidth())

    def _place(self, number: int, row: FormRow) -> None:
        beside = 0 if self._narrow else 1
        self.setColumnMinimumWidth(0, 0 if self._narrow else theme.px(self._names_width))
        span = 2 - beside
        first = 3 * number
        if row.name is not None:
            row.name.setContentsMargins(0, theme.px(6 * beside), 0, 0)
            self.removeWidget(row.name)
            top = Qt.AlignmentFlag.AlignTop
            self.addWidget(row.name, first + beside, 0, 1, span, top)
        self.removeWidget(row.field)
        self.addWidget(row.field, first + 1, beside, 1, span)
        if row.hint is not None:
            self.removeWidget(row.hint)
            self.addWidget(row.hint, first + 2, beside, 1, span)
