"""Preparations as a table, for the register and for choosing one."""

from __future__ import annotations

from PySide6.QtCore import QItemSelectionModel
from PySide6.QtWidgets import QAbstractItemView, QHeaderView, QTableView

from ui import theme
from ui.register.register_model import Column, RegisterModel
from ui.widgets.words import set_role

_WIDTHS = {
    Column.LOT: 116,
    Column.VERSION: 76,
    Column.MADE_ON: 128,
    Column.USE_BY: 128,
    Column.AWAY: 112,
    Column.TARGET: 112,
    Column.STAGE: 84,
    Column.LABELS: 68,
    Column.STARTED_BY: 136,
}


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
            self.setColumnHidden(column, column in without)
        set_role(self, "sheet")

    def make_current(self, row: int) -> None:
        """Come to a row."""
        flags = QItemSelectionModel.SelectionFlag
        index = self._rows.index(row, Column.LOT)
        self.selectionModel().setCurrentIndex(index, flags.ClearAndSelect | flags.Rows)

    def current_lot(self) -> str:
        """Return the lot come to, "" for none."""
        row = self._rows.row(self.currentIndex().row())
        return row.lot if row is not None else ""
