"""What a row of a lot's containers says."""

from __future__ import annotations

from formulary.messages import Message
from formulary.stock.container import obstacle
from formulary.stock.shelf import Holding, for_reading
from ui.context import Context
from ui.forms.days import distance, today

COLUMNS = ("number", "on_hand", "until", "opened", "identity", "place")


def obstacle_of(context: Context, held: Holding) -> Message | None:
    """Return why nothing may be weighed from a container, None if it may."""
    return obstacle(held.container, held.lot, today(context))


def container_texts(context: Context, held: Holding) -> tuple[str, ...]:
    """Return the texts of a container's row, in the order of the columns."""
    container, written = held.container, context.catalogue.written
    away = context.said(distance(today(context), held.until))
    opened = written(container.opened_on) if container.opened_on is not None else ""
    return (
        container.number,
        written(for_reading(held.on_hand)),
        f"{written(held.until)}, {away}",
        opened,
        _identity(context, held),
        container.place,
    )


def _identity(context: Context, held: Holding) -> str:
    container = held.container
    if container.emptied_on is not None:
        return context.text("ui_stock.container.emptied", day=container.emptied_on)
    if container.identity is None:
        return context.text("ui_stock.container.not_identified")
    key = "identified" if container.identity.passed else "failed"
    check = container.identity
    return context.text(f"ui_stock.container.{key}", method=check.method, by=check.signature.person)
