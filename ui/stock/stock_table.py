"""Lots as a table, for the page Stock."""

from __future__ import annotations

from PySide6.QtCore import QItemSelectionModel
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QAbstractItemView, QHeaderView, QTableView

from ui import theme
from ui.register.column_widths import content_width, fit_columns
from ui.stock.stock_model import Column, StockModel
from ui.widgets.words import set_role

LEAST_NAME = 220
_GIVEN_UP = (Column.SUPPLIER, Column.PLACE, Column.AWAY, Column.LOT)


class StockTable(QTableView):
    """Whole rows are chosen; Tab leaves the table."""

    def __init__(self, name: str, model: StockModel) -> None:
        super().__init__()
        self._rows = model
        self.setAccessibleName(name)
        self.setModel(model)
        self.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        self.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        self.setTabKeyNavigation(False)
        self.setShowGrid(False)
        self.setWordWrap(False)
        self.verticalHeader().hide()
        self.verticalHeader().setDefaultSectionSize(theme.px(32))
        header = self.horizontalHeader()
        header.setHighlightSections(False)
        header.setSectionResizeMode(Column.INGREDIENT, QHeaderView.ResizeMode.Stretch)
        header.setMinimumSectionSize(theme.px(24))
        set_role(self, "sheet")
        model.modelReset.connect(self._fit)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Leave out what the details show as well, as far as the width asks for it."""
        super().resizeEvent(event)
        self._fit()

    def make_current(self, row: int) -> None:
        """Come to a row."""
        flags = QItemSelectionModel.SelectionFlag
        index = self._rows.index(row, Column.INGREDIENT)
        self.selectionModel().setCurrentIndex(index, flags.ClearAndSelect | flags.Rows)

    def current_lot(self) -> str:
        """Return the id of the lot come to, "" for none."""
        row = self._rows.row(self.currentIndex().row())
        return row.lot.id if row is not None else ""

    def _fit(self) -> None:
        """Give each column what its content takes; the ingredient takes the rest."""
        widths = {int(each): content_width(self, each) for each in Column}
        fit_columns(self, widths | {int(Column.INGREDIENT): theme.px(LEAST_NAME)}, _GIVEN_UP)
