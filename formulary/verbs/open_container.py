"""Open a container: from that day it lasts no longer than its life once open."""

from __future__ import annotations

from formulary.desk import Desk
from formulary.errors import Refusal
from formulary.finding import Finding
from formulary.stock.container import StockContainer, obstacle, opened, second_opened
from formulary.stock.lot import SupplyLot
from formulary.stock.shelf import Holding
from formulary.verbs.look_up_stock import container_with, holding_of
from formulary.verbs.stock_as_seen import require_holding_seen


def open_container(
    desk: Desk, container_id: str, *, seen: Holding | None = None
) -> tuple[StockContainer, tuple[Finding, ...]]:
    """Note that a container is opened today, and say which other is still in use.

    Raises :class:`formulary.errors.Refusal` for one that nothing may be weighed from, and
    :class:`formulary.errors.Conflict` where it isn't as it was ``seen``.
    """
    with desk.writing("open_container") as writing:
        held = holding_of(writing, container_with(writing, container_id))
        require_holding_seen(writing, held, seen)
        container, lot = held.container, held.lot
        said = obstacle(container, lot, desk.today)
        if said is not None:
            raise Refusal(said)
        lots = writing.having(SupplyLot, ingredient_id=lot.ingredient_id)
        others = writing.having_any(StockContainer, "lot_id", {each.id for each in lots})
        writing.tell(container=container.number)
        found = second_opened(container, tuple(others))
        return writing.put(opened(container, desk.today)), found
