"""Orders as a table."""

from __future__ import annotations

from PySide6.QtCore import QItemSelectionModel
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QAbstractItemView, QHeaderView, QTableView

from ui import theme
from ui.orders.order_model import Column, OrderModel
from ui.register.column_widths import content_width, fit_columns
from ui.widgets.words import set_role

LEAST_FORMULA = 200
_GIVEN_UP = (Column.LOT, Column.RECEIVED, Column.PURPOSE)


class OrderTable(QTableView):
    """Whole rows are chosen; Tab leaves the table."""

    def __init__(self, name: str, model: OrderModel) -> None:
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
        header.setSectionResizeMode(Column.FORMULA, QHeaderView.ResizeMode.Stretch)
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
        index = self._rows.index(row, Column.NUMBER)
        self.selectionModel().setCurrentIndex(index, flags.ClearAndSelect | flags.Rows)

    def current_order(self) -> str:
        """Return the id of the order come to, "" for none."""
        row = self._rows.row(self.currentIndex().row())
        return row.order.id if row is not None else ""

    def _fit(self) -> None:
        """Give each column what its content takes; the formula takes the rest."""
        widths = {int(each): content_width(self, each) for each in Column}
        fit_columns(self, widths | {int(Column.FORMULA): theme.px(LEAST_FORMULA)}, _GIVEN_UP)
