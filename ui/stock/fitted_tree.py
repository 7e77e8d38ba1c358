"""A list in columns that never scrolls sideways: what matters least is left out."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Qt
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QTreeWidget

from ui.widgets.column_widths import content_width, fit_columns
from ui.widgets.words import set_role


class FittedTree(QTreeWidget):
    """Has a name and headings; ``given_up`` columns go first where the width is too small."""

    def __init__(self, name: str, headings: Sequence[str], given_up: Sequence[int]) -> None:
        super().__init__()
        self._given_up = tuple(given_up)
        self.setAccessibleName(name)
        self.setColumnCount(len(headings))
        self.setHeaderLabels(list(headings))
        self.setTabKeyNavigation(False)
        self.setUniformRowHeights(True)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        set_role(self, "sheet")

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Leave columns out rather than scroll sideways."""
        super().resizeEvent(event)
        self.fit()

    def fit(self) -> None:
        """Give each column what its content takes."""
        widths = {each: content_width(self, each) for each in range(self.columnCount())}
        fit_columns(self, widths, self._given_up)
