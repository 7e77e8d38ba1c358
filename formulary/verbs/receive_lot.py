"""Receive a supplier's lot into quarantine, each of its containers with a number of its own."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from formulary.desk import Desk
from formulary.errors import Refusal
from formulary.finding import Finding
from formulary.formula.content import Period
from formulary.ids import new_id
from formulary.ingredient import Ingredient
from formulary.look_alikes import look_alikes_of
from formulary.messages import message
from formulary.quantity.amount import Amount
from formulary.signing import Signature
from formulary.stock.container import StockContainer
from formulary.stock.lot import Source, Status, SupplyLot
from formulary.stock.receiving import (
    MOST_CONTAINERS,
    arrivals,
    beside_look_alikes,
    containers_of,
    doubts,
    require_supplier,
)
from formulary.store import Reading
from formulary.verbs.two_people import UNSIGNED, Signing, both_sign, bound


@dataclass(frozen=True, slots=True)
class Received:
    """What was kept of a delivery, and what is doubtful about it."""

    lot: SupplyLot
    containers: tuple[StockContainer, ...]
    doubts: tuple[Finding, ...]


def receive_lot(
    desk: Desk,
    lot: SupplyLot,
    sizes: Sequence[Amount],
    in_use: Period | None = None,
    signing: Signing = UNSIGNED,
) -> Received:
    """Keep a lot as it was read from its containers; ``in_use`` is how long one lasts once open.

    Two people sign the arrival of a controlled substance. Raises
    :class:`formulary.errors.Refusal` without containers, and for a lot made here: that comes from
    the preparation's release; :class:`formulary.errors.BadText` for a supplier that the house
    hasn't approved where no reason is given.
    """
    desk.may("receive_lot")
    _require_a_delivery(lot, sizes)
    require_supplier(lot, desk.house.suppliers)
    ingredient = desk.store.get(Ingredient, lot.ingredient_id)
    signatures = _signed(desk, ingredient, signing)
    act = desk.act()
    lot = replace(lot, status=Status.QUARANTINE, stop=None, decision=None, attachment=None)
    lot = _marked(lot, ingredient)
    with desk.writing("receive_lot") as writing:
        others = writing.having(SupplyLot, ingredient_id=lot.ingredient_id)
        kept = writing.put(lot)
        first = writing.allot_containers(len(sizes))
        full = containers_of(kept, sizes, [new_id() for _ in sizes], first, in_use)
        containers = tuple(writing.put(each) for each in full)
        for move in arrivals(containers, [new_id() for _ in sizes], act.at, desk.person):
            writing.put(bound(replace(move, signatures=signatures)))
        writing.tell(lot=kept.number, first=containers[0].number, containers=len(containers))
        found = (*doubts(kept, others), *_beside(writing, kept, ingredient))
        return Received(kept, containers, found)


def _signed(desk: Desk, ingredient: Ingredient | None, signing: Signing) -> tuple[Signature, ...]:
    if ingredient is None or not ingredient.controlled:
        return ()
    return both_sign(desk, replace(signing, alone_because=""))


def _marked(lot: SupplyLot, ingredient: Ingredient | None) -> SupplyLot:
    """Return the lot with the ingredient's own hazards and allergens among its own."""
    if ingredient is None:
        return lot
    return replace(
        lot,
        hazards=tuple(dict.fromkeys((*ingredient.hazards, *lot.hazards))),
        allergens=tuple(dict.fromkeys((*ingredient.allergens, *lot.allergens))),
    )


def _beside(store: Reading, lot: SupplyLot, ingredient: Ingredient | None) -> list[Finding]:
    """Return where look-alikes stand in the lot's place."""
    if ingredient is None:
        return []
    others = look_alikes_of(ingredient, store.every(Ingredient))
    names = {each.id: each.name for each in others}
    lots = store.having_any(SupplyLot, "ingredient_id", set(names))
    return beside_look_alikes(lot, [(names[each.ingredient_id], each) for each in lots])


def _require_a_delivery(lot: SupplyLot, sizes: Sequence[Amount]) -> None:
    if lot.source is Source.INTERMEDIATE:
        raise Refusal(message("stock.receipt.made_here"))
    if not 0 < len(sizes) <= MOST_CONTAINERS:
        raise Refusal(message("stock.receipt.how_many", n=MOST_CONTAINERS))
    if any(size.number <= 0 for size in sizes):
        raise Refusal(message("stock.receipt.no_size"))
