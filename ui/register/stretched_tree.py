"""A list of which one column holds long texts: it takes what the others leave, and is cut there.

The whole text is in the tool tip and is read by a screen reader.
"""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtWidgets import QHeaderView

from ui import theme
from ui.stock.fitted_tree import FittedTree
from ui.widgets.column_widths import content_width, fit_columns

LEAST = 240


class StretchedTree(FittedTree):
    """Leaves out ``given_up`` columns only where the long one would get too little."""

    def __init__(
        self, name: str, headings: Sequence[str], given_up: Sequence[int], stretched: int
    ) -> None:
        super().__init__(name, headings, given_up)
        self._stretched = stretched
        self.setRootIsDecorated(False)
        self.header().setStretchLastSection(False)
        self.header().setSectionResizeMode(stretched, QHeaderView.ResizeMode.Stretch)

    def fit(self) -> None:
        """Give each column what its content takes, the long one the rest."""
        widths = {each: content_width(self, each) for each in range(self.columnCount())}
        fit_columns(self, widths | {self._stretched: theme.px(LEAST)}, self._given_up)
