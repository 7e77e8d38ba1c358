"""Lots as a table, for the page Stock."""

from __future__ import annotations

from ui.stock.stock_model import Column, StockModel
from ui.widgets.row_table import RowTable, Sharing, columns

_SHARING = Sharing(
    columns(Column),
    widest=Column.INGREDIENT,
    least=220,
    given_up=(Column.SUPPLIER, Column.PLACE, Column.AWAY, Column.LOT),
)


class StockTable(RowTable):
    """The lots of the list."""

    def __init__(self, name: str, model: StockModel) -> None:
        super().__init__(name, model, _SHARING)
        self._rows = model
        model.modelReset.connect(self.fit)

    def current_lot(self) -> str:
        """Return the id of the lot come to, "" for none."""
        row = self._rows.row(self.currentIndex().row())
        return row.lot.id if row is not None else ""

    def current_number(self) -> str:
        """Return the number of the lot come to, "" for none."""
        row = self._rows.row(self.currentIndex().row())
        return row.lot.number if row is not None else ""
