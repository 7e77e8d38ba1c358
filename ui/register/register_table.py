"""Preparations as a table, for the register and for choosing one."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QItemSelectionModel
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QAbstractItemView, QHeaderView, QTableView

from ui import theme
from ui.register.column_widths import content_width, fit_columns
from ui.register.register_model import Column, RegisterModel
from ui.widgets.words import set_role

LEAST_TITLE = 220
_GIVEN_UP = (
    Column.STARTED_BY,
    Column.LABELS,
    Column.VERSION,
    Column.MADE_ON,
    Column.TARGET,
    Column.AWAY,
    Column.STAGE,
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
        header.setMinimumSectionSize(theme.px(24))
        self._without = without
        set_role(self, "sheet")

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Leave out what the details show as well, as far as the width asks for it."""
        super().resizeEvent(event)
        self.fit()

    def changeEvent(self, event: QEvent) -> None:
        """Write what is quiet anew when the colours change."""
        super().changeEvent(event)
        if event.type() == QEvent.Type.PaletteChange:
            self._rows.recolour()

    def make_current(self, row: int) -> None:
        """Come to a row."""
        flags = QItemSelectionModel.SelectionFlag
        index = self._rows.index(row, Column.LOT)
        self.selectionModel().setCurrentIndex(index, flags.ClearAndSelect | flags.Rows)

    def current_lot(self) -> str:
        """Return the lot come to, "" for none."""
        row = self._rows.row(self.currentIndex().row())
        return row.lot if row is not None else ""

    def fit(self) -> None:
        """Give each column what its content takes; a formula's title takes the rest."""
        shown = [each for each in Column if each not in self._without]
        widths = {int(each): content_width(self, each) for each in shown}
        fit_columns(self, widths | {int(Column.FORMULA): theme.px(LEAST_TITLE)}, _GIVEN_UP)
