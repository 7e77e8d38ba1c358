"""Preparations as a table, for the register and for choosing one."""

from __future__ import annotations

from PySide6.QtCore import QItemSelectionModel
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QAbstractItemView, QHeaderView, QTableView

from ui import theme
from ui.register.register_model import Column, RegisterModel
from ui.widgets.words import set_role

_WIDTHS = {
    Column.LOT: 130,
    Column.VERSION: 76,
    Column.MADE_ON: 128,
    Column.USE_BY: 128,
    Column.AWAY: 120,
    Column.TARGET: 102,
    Column.STAGE: 80,
    Column.LABELS: 68,
    Column.STARTED_BY: 126,
    Column.FORMULA: 220,
}
_GIVEN_UP = (
    Column.STARTED_BY,
    Column.LABELS,
    Column.VERSION,
    Column.STAGE,
    Column.MADE_ON,
    Column.AWAY,
    Column.TARGET,
)


class RegisterTable(QTableView):
    """Whole rows are chosen; Tab leaves the table."""

    def __init__(self, name: str, model: RegisterModel, without: tuple[Column, ...] = ()) -> None:
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
        for column, width in _WIDTHS.items():
            self.setColumnWidth(column, theme.px(width))
        header.setMinimumSectionSize(theme.px(24))
        self._without = without
        set_role(self, "sheet")

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Leave out what the details show as well, as far as the width asks for it."""
        super().resizeEvent(event)
        shown = [each for each in Column if each not in self._without]
        for column in _GIVEN_UP:
            if sum(theme.px(_WIDTHS[each]) for each in shown) <= self.viewport().width():
                break
            if column in shown:
                shown.remove(column)
        for column in Column:
            self.setColumnHidden(column, column not in shown)

    def make_current(self, row: int) -> None:
        """Come to a row."""
        flags = QItemSelectionModel.SelectionFlag
        index = self._rows.index(row, Column.LOT)
        self.selectionModel().setCurrentIndex(index, flags.ClearAndSelect | flags.Rows)

    def current_lot(self) -> str:
        """Return the lot come to, "" for none."""
        row = self._rows.row(self.currentIndex().row())
        return row.lot if row is not None else ""
