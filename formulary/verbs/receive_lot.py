"""Receive a supplier's lot into quarantine, each of its containers with a number of its own."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from formulary.desk import Desk
from formulary.errors import Refusal
from formulary.finding import Finding
from formulary.formula.content import Period
from formulary.ids import new_id
from formulary.messages import message
from formulary.quantity.amount import Amount
from formulary.stock.container import StockContainer
from formulary.stock.lot import Source, Status, SupplyLot
from formulary.stock.receiving import MOST_CONTAINERS, arrivals, containers_of, doubts


@dataclass(frozen=True, slots=True)
class Received:
    """What was kept of a delivery, and what is doubtful about it."""

    lot: SupplyLot
    containers: tuple[StockContainer, ...]
    doubts: tuple[Finding, ...]


def receive_lot(
    desk: Desk, lot: SupplyLot, sizes: Sequence[Amount], in_use: Period | None = None
) -> Received:
    """Keep a lot as it was read from its containers; ``in_use`` is how long one lasts once open.

    Raises :class:`formulary.errors.Refusal` without containers, and for a lot made here: that
    comes from the preparation's release.
    """
    _require_a_delivery(lot, sizes)
    act = desk.act()
    lot = replace(lot, status=Status.QUARANTINE, stop=None, decision=None, attachment=None)
    with desk.writing("receive_lot") as writing:
        others = writing.having(SupplyLot, ingredient_id=lot.ingredient_id)
        kept = writing.put(lot)
        first = writing.allot_containers(len(sizes))
        full = containers_of(kept, sizes, [new_id() for _ in sizes], first, in_use)
        containers = tuple(writing.put(each) for each in full)
        for move in arrivals(containers, [new_id() for _ in sizes], act.at, desk.person):
            writing.put(move)
        writing.tell(lot=kept.number, first=containers[0].number, containers=len(containers))
        return Received(kept, containers, doubts(kept, others))


def _require_a_delivery(lot: SupplyLot, sizes: Sequence[Amount]) -> None:
    if lot.source is Source.INTERMEDIATE:
        raise Refusal(message("stock.receipt.made_here"))
    if not 0 < len(sizes) <= MOST_CONTAINERS:
        raise Refusal(message("stock.receipt.how_many", n=MOST_CONTAINERS))
    if any(size.number <= 0 for size in sizes):
        raise Refusal(message("stock.receipt.no_size"))
