"""Orders as a model; no patient's name shows in it."""

from __future__ import annotations

from enum import IntEnum

from PySide6.QtCore import QObject

from formulary.messages import message
from formulary.orders.standing import Standing
from formulary.verbs.look_up_order import OrderSeen
from ui import signs
from ui.context import Context
from ui.widgets.row_model import Columns, RowModel

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


class OrderModel(RowModel[OrderSeen]):
    """Rows of orders."""

    def __init__(self, context: Context, parent: QObject | None = None) -> None:
        super().__init__(context, Columns(AREA, Column, signed=Column.STANDING), parent)

    def key(self, row: OrderSeen) -> str:
        """Return an order's id."""
        return row.order.id

    def sign(self, row: OrderSeen) -> signs.Sign:
        """Return the sign of an order's standing."""
        return sign_of(row.standing)

    def written(self, row: OrderSeen) -> tuple[str, ...]:
        """Return what the cells of a row say, in the order of the columns."""
        text, order = self.context.text, row.order
        titled = row.version.content.title if row.version is not None else ""
        return (
            order.number,
            titled or text(f"{AREA}.no_formula"),
            purpose_said(self.context, row),
            order.target,
            self.context.said(message(f"orders.standing.{row.standing.value}")),
            self.context.catalogue.written(order.received_at),
            ", ".join(made.lot for made in row.preparations),
        )


def purpose_said(context: Context, each: OrderSeen) -> str:
    """Return whom an order is for, without the patient's name."""
    order = each.order
    if order.ward:
        return context.text(f"{AREA}.for_ward", ward=order.ward)
    said = context.text(f"orders.purpose.{order.purpose.value}")
    return context.text(f"{AREA}.one_off_for", purpose=said) if order.one_off else said
