"""Cancel an order: nothing is weighed, labelled or handed over for it any more."""

from __future__ import annotations

from formulary.desk import Desk
from formulary.orders.order import Order, OrderState, moved_to
from formulary.verbs.look_up_order import open_order


def cancel_order(desk: Desk, order_id: str, reason: str, *, seen: int | None = None) -> Order:
    """Cancel an order. Raises Refusal without a reason.

    Where the order isn't what was ``seen``, by its revision, it is Conflict.
    """
    with desk.writing("cancel_order", reason) as writing:
        order = open_order(writing, order_id, seen)
        writing.tell(order=order.number)
        return writing.put(moved_to(order, OrderState.CANCELLED, reason))
