"""Preparations as a table, for the register and for choosing one."""

from __future__ import annotations

from PySide6.QtCore import QEvent

from ui.register.register_model import Column, RegisterModel
from ui.widgets.row_table import RowTable, Sharing, columns

LEAST_TITLE = 300
_GIVEN_UP = (
    Column.STARTED_BY,
    Column.LABELS,
    Column.VERSION,
    Column.MADE_ON,
    Column.TARGET,
    Column.AWAY,
    Column.STAGE,
)


class RegisterTable(RowTable):
    """The preparations of a list, without some columns where they say nothing."""

    def __init__(self, name: str, model: RegisterModel, without: tuple[Column, ...] = ()) -> None:
        shown = columns(Column, without)
        super().__init__(name, model, Sharing(shown, Column.FORMULA, LEAST_TITLE, _GIVEN_UP))
        self._rows = model

    def changeEvent(self, event: QEvent) -> None:
        """Write what is quiet anew when the colours change."""
        super().changeEvent(event)
        model = self.model()
        if event.type() == QEvent.Type.PaletteChange and isinstance(model, RegisterModel):
            model.recolour()

    def current_lot(self) -> str:
        """Return the lot come to, "" for none."""
        row = self._rows.row(self.currentIndex().row())
        return row.lot if row is not None else ""
