"""Facts side by side with their names, to be read only."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QGridLayout, QLabel, QWidget

from ui import theme
from ui.widgets.words import label, spaced

NAMES_WIDTH = 104


class Facts(QWidget):
    """A column of names and what they say; what is empty isn't shown."""

    def __init__(self) -> None:
        super().__init__()
        self._grid = QGridLayout(self)
        spaced(self._grid, inside=4)
        self._grid.setHorizontalSpacing(theme.px(12))
        self._grid.setColumnMinimumWidth(0, theme.px(NAMES_WIDTH))
        self._grid.setColumnStretch(1, 1)
        self._labels: list[QLabel] = []

    def show_facts(self, facts: Sequence[tuple[str, str]]) -> None:
        """Show these and no others."""
        for each in self._labels:
            self._grid.removeWidget(each)
            each.hide()
            each.deleteLater()
        self._labels = []
        for row, (name, said) in enumerate(fact for fact in facts if fact[1]):
            self._put(label(name, "quiet"), row, 0)
            text = label(said)
            text.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
            text.setAccessibleName(f"{name}: {said}")
            self._put(text, row, 1)

    def texts(self) -> tuple[str, ...]:
        """Return all that is shown, names and facts in turn."""
        return tuple(each.text() for each in self._labels)

    def _put(self, made: QLabel, row: int, column: int) -> None:
        self._grid.addWidget(made, row, column, Qt.AlignmentFlag.AlignTop)
        self._labels.append(made)
