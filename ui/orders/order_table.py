"""Orders as a table."""

from __future__ import annotations

from ui.orders.order_model import Column, OrderModel
from ui.widgets.row_table import RowTable, Sharing, columns

_SHARING = Sharing(
    columns(Column),
    widest=Column.FORMULA,
    least=300,
    given_up=(Column.LOT, Column.RECEIVED, Column.PURPOSE),
)


class OrderTable(RowTable):
    """The orders of the list."""

    def __init__(self, name: str, model: OrderModel) -> None:
        super().__init__(name, model, _SHARING)
        self._rows = model
        model.modelReset.connect(self.fit)

    def current_order(self) -> str:
        """Return the id of the order come to, "" for none."""
        row = self._rows.row(self.currentIndex().row())
        return row.order.id if row is not None else ""

    def current_number(self) -> str:
        """Return the number of the order come to, "" for none."""
        row = self._rows.row(self.currentIndex().row())
        return row.order.number if row is not None else ""
