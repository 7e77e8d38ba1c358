"""What a container's own end means for the use-by date, and for the treatment ordered."""

from __future__ import annotations

from datetime import date, timedelta

from formulary.ingredient import Ingredient
from formulary.messages import Message, message
from formulary.orders.order import Order
from formulary.preparation import Preparation
from formulary.shelf_life.materials import endings
from formulary.stock.shelf import Holding
from formulary.store import Reading


def treatment_end(store: Reading, made: Preparation) -> date | None:
    """Return the last day of the treatment ordered, None if unknown; it begins when made."""
    order = store.get(Order, made.order_id) if made.order_id else None
    if order is None or order.treatment_days is None:
        return None
    return made.made_on + timedelta(days=order.treatment_days - 1)


def shortened_by(store: Reading, made: Preparation, held: Holding) -> Message | None:
    """Return how a fetched container brings the use-by date forward, None if it doesn't."""
    names = {each.id: each.name for each in store.every(Ingredient)}
    first = min(endings((held,), names), key=lambda each: each.last_day)
    if first.last_day >= made.use_by:
        return None
    material = message(f"shelf_life.limit.{first.sort.value}", name=first.name, number=first.number)
    said = message(
        "verbs.date_shortened", material=material, end=first.last_day, use_by=made.use_by
    )
    end = treatment_end(store, made)
    if end is None or first.last_day >= end:
        return said
    return message("verbs.treatment_shortened", said=said, treatment=end)


def too_short_for_treatment(store: Reading, made: Preparation) -> Message | None:
    """Return that a preparation ends before the treatment ordered, None where it doesn't."""
    end = treatment_end(store, made)
    if end is None or made.use_by >= end:
        return None
    return message("verbs.ends_before_treatment", use_by=made.use_by, treatment=end)
