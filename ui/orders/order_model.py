"""Orders as a model; no patient's name shows in it."""

from __future__ import annotations

from collections.abc import Sequence
from enum import IntEnum

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QObject, QPersistentModelIndex, Qt
from PySide6.QtGui import QColor

from formulary.messages import message
from formulary.orders.standing import Standing
from formulary.verbs.look_up_order import OrderSeen
from ui import signs
from ui.context import Context

Index = QModelIndex | QPersistentModelIndex
AREA = "ui_orders"


class Column(IntEnum):
    """The columns, in reading order; the name in small letters is its place in the catalogue."""

    NUMBER = 0
    FORMULA = 1
    PURPOSE = 2
    TARGET = 3
    STANDING = 4
    RECEIVED = 5
    LOT = 6


_SIGNS = {
    Standing.WAITING: signs.Sign.TRIANGLE,
    Standing.INCOMPLETE: signs.Sign.TRIANGLE,
    Standing.CANCELLED: signs.Sign.OCTAGON,
    Standing.READY: signs.Sign.TICK,
    Standing.HANDED_OVER: signs.Sign.TICK,
}


def sign_of(standing: Standing) -> signs.Sign:
    """Return the sign beside a standing's word."""
    return _SIGNS.get(standing, signs.Sign.DOT)


class OrderModel(QAbstractTableModel):
    """Rows of orders."""

    def __init__(self, context: Context, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._context = context
        self._rows: tuple[OrderSeen, ...] = ()
        self._texts: list[tuple[str, ...]] = []

    def show_orders(self, orders: Sequence[OrderSeen]) -> None:
        """Show these orders and no others."""
        self.beginResetModel()
        self._rows = tuple(orders)
        self._texts = [self._written(each) for each in self._rows]
        self.endResetModel()

    def row(self, number: int) -> OrderSeen | None:
        """Return a row, None past the end."""
        return self._rows[number] if 0 <= number < len(self._rows) else None

    def row_of(self, order_id: str) -> int:
        """Return the number of an order's row, -1 if it isn't listed."""
        ids = [each.order.id for each in self._rows]
        return ids.index(order_id) if order_id in ids else -1

    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008 - Qt's own default
        """Return how many rows are here; a row has none below it."""
        return 0 if parent.isValid() else len(self._rows)

    def columnCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008 - Qt's own default
        """Return how many columns there are."""
        return 0 if parent.isValid() else len(Column)

    def headerData(
        self,
        section: int,
        orientation: Qt.Orientation,
        role: int = Qt.ItemDataRole.DisplayRole,
    ) -> object:
        """Return a column's heading."""
        if orientation is not Qt.Orientation.Horizontal:
            return None
        if role == Qt.ItemDataRole.TextAlignmentRole:
            return Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter
        if role == Qt.ItemDataRole.DisplayRole:
            return self._context.text(f"{AREA}.column.{Column(section).name.lower()}")
        return None

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        """Return what a cell shows; a standing has its sign and its ink."""
        if not 0 <= index.row() < len(self._texts):
            return None
        column = Column(index.column())
        text = self._texts[index.row()][column]
        sign = sign_of(self._rows[index.row()].standing)
        match role:
            case Qt.ItemDataRole.DisplayRole | Qt.ItemDataRole.ToolTipRole:
                shown: object = text
            case Qt.ItemDataRole.ForegroundRole if column is Column.STANDING:
                shown = QColor(signs.colour_of(sign))
            case Qt.ItemDataRole.DecorationRole if column is Column.STANDING:
                shown = signs.icon(sign)
            case Qt.ItemDataRole.AccessibleTextRole:
                shown = f"{self.headerData(column, Qt.Orientation.Horizontal)}: {text}"
            case _:
                shown = None
        return shown

    def _written(self, each: OrderSeen) -> tuple[str, ...]:
        """Return what the cells of a row say, in the order of the columns."""
        text, order = self._context.text, each.order
        titled = each.version.content.title if each.version is not None else ""
        return (
            order.number,
            titled or text(f"{AREA}.no_formula"),
            purpose_said(self._context, each),
            order.target,
            self._context.said(message(f"orders.standing.{each.standing.value}")),
            self._context.catalogue.written(order.received_at),
            ", ".join(made.lot for made in each.preparations),
        )


def purpose_said(context: Context, each: OrderSeen) -> str:
    """Return whom an order is for, without the patient's name."""
    order = each.order
    if order.ward:
        return context.text(f"{AREA}.for_ward", ward=order.ward)
    said = context.text(f"orders.purpose.{order.purpose.value}")
    return context.text(f"{AREA}.one_off_for", purpose=said) if order.one_off else said
