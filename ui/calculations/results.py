"""The results in large type, the main one largest; names beside their figures."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QGridLayout, QLabel, QWidget

from formulary.quantity.writing import WORD_JOINER, unbroken
from ui.calculations.answer import Figure
from ui.widgets.words import label, set_role, spaced

_SELECTABLE = (
    Qt.TextInteractionFlag.TextSelectableByMouse | Qt.TextInteractionFlag.TextSelectableByKeyboard
)


class Results(QWidget):
    """Figures, one below the other; the labels are kept while one types."""

    def __init__(self) -> None:
        super().__init__()
        self._rows: list[tuple[QLabel, QLabel]] = []
        self._stacked = False
        self._grid = QGridLayout(self)
        spaced(self._grid, inside=8)
        self._grid.setColumnStretch(0, 1)
        self._grid.setColumnStretch(1, 1)

    def stack(self, *, stacked: bool) -> None:
        """Put each name below its figure, for want of room, or beside it."""
        if stacked != self._stacked:
            self._stacked = stacked
            for place in range(len(self._rows)):
                self._place(place)

    def show_figures(self, figures: Sequence[Figure]) -> None:
        """Show these figures and no others."""
        while len(self._rows) < len(figures):
            self._add_row()
        for place, (name, value) in enumerate(self._rows):
            shown = place < len(figures)
            name.setVisible(shown)
            value.setVisible(shown)
            if shown:
                name.setText(unbroken(figures[place].name))
                value.setText(unbroken(figures[place].value))
        self.setVisible(bool(figures))

    def texts(self) -> list[str]:
        """Return the values as shown."""
        return [
            value.text().replace(WORD_JOINER, "") for _, value in self._rows if not value.isHidden()
        ]

    def _add_row(self) -> None:
        place = len(self._rows)
        name, value = label(role="quiet"), label()
        set_role(value, "heading" if place else "title")
        value.setTextInteractionFlags(_SELECTABLE)
        value.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self._rows.append((name, value))
        self._place(place)

    def _place(self, place: int) -> None:
        for widget in self._rows[place]:
            self._grid.removeWidget(widget)
        name, value = self._rows[place]
        if self._stacked:
            self._grid.addWidget(value, 2 * place, 0, 1, 2)
            self._grid.addWidget(name, 2 * place + 1, 0, 1, 2)
        else:
            baseline = Qt.AlignmentFlag.AlignBaseline
            self._grid.addWidget(value, place, 0, baseline)
            self._grid.addWidget(name, place, 1, baseline)
