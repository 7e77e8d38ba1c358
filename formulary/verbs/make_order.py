"""Start what an order asks for."""

from __future__ import annotations

from formulary.desk import Desk
from formulary.preparation import Preparation
from formulary.scaling.plan import NO_CHOICES, Choices
from formulary.verbs.look_up_order import open_order
from formulary.verbs.start_preparation import Order as Making
from formulary.verbs.start_preparation import start_preparation


def make_order(
    desk: Desk,
    order_id: str,
    excess: str = "",
    choices: Choices = NO_CHOICES,
    *,
    seen: int | None = None,
) -> Preparation:
    """Start an order's preparation and return it with its lot number; the order is then in work.

    Raises :class:`formulary.errors.Forbidden` with what is missing before it may be weighed, and
    Conflict unless ``seen`` is the order's revision.
    """
    order = open_order(desk.store, order_id, seen)
    making = Making(order.target, excess, choices, order.directions, order_id=order.id)
    return start_preparation(desk, order.version_id, making)
