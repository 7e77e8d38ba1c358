"""A table of whole rows, whose columns share the width; what the pages' lists have in common."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from PySide6.QtCore import QAbstractItemModel, QItemSelectionModel, Qt
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QAbstractItemView, QHeaderView, QTableView

from ui import theme
from ui.widgets.column_widths import content_width, fit_columns
from ui.widgets.words import set_role

ROW_HEIGHT, WIDEST = 32, 1680


@dataclass(frozen=True, slots=True)
class Sharing:
    """How the columns share the width: ``widest`` takes what is left, but ``least`` at least.

    Where there is too little, those of ``given_up`` are left out, the first ones first.
    """

    columns: tuple[int, ...]
    widest: int
    least: int
    given_up: tuple[int, ...] = ()


class RowTable(QTableView):
    """Whole rows are chosen; Tab leaves the table."""

    def __init__(self, name: str, model: QAbstractItemModel, sharing: Sharing) -> None:
        super().__init__()
        self._sharing = sharing
        self.setAccessibleName(name)
        self.setModel(model)
        # Where a row is wider, its end is no longer read together with its beginning.
        self.setMaximumWidth(theme.px(WIDEST))
        self.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        self.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        self.setTabKeyNavigation(False)
        self.setShowGrid(False)
        self.setWordWrap(False)
        # The strength stands at the end of a title, and is what tells two preparations apart.
        self.setTextElideMode(Qt.TextElideMode.ElideMiddle)
        self.verticalHeader().hide()
        self.verticalHeader().setDefaultSectionSize(theme.px(ROW_HEIGHT))
        header = self.horizontalHeader()
        header.setHighlightSections(False)
        header.setSectionResizeMode(sharing.widest, QHeaderView.ResizeMode.Stretch)
        header.setMinimumSectionSize(theme.px(24))
        set_role(self, "sheet")

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Leave out what the details show as well, as far as the width asks for it."""
        super().resizeEvent(event)
        self.fit()

    def make_current(self, row: int) -> None:
        """Come to a row."""
        flags = QItemSelectionModel.SelectionFlag
        index = self.model().index(row, self._sharing.columns[0])
        self.selectionModel().setCurrentIndex(index, flags.ClearAndSelect | flags.Rows)

    def fit(self) -> None:
        """Give each column what its content takes; the widest takes the rest."""
        sharing = self._sharing
        widths = {each: content_width(self, each) for each in sharing.columns}
        least = {sharing.widest: theme.px(sharing.least)}
        fit_columns(self, widths | least, sharing.given_up)


def columns(every: Iterable[int], without: Iterable[int] = ()) -> tuple[int, ...]:
    """Return columns as numbers, some left out."""
    left_out = set(without)
    return tuple(int(each) for each in every if each not in left_out)
