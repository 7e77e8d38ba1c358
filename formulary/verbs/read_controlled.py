"""Read the register of each controlled substance in the house."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from formulary.desk import Desk
from formulary.ingredient import Ingredient
from formulary.quantity.amount import Amount
from formulary.stock.container import StockContainer
from formulary.stock.controlled_register import Entry, entries_of
from formulary.stock.lot import SupplyLot
from formulary.stock.moves import StockMove
from formulary.store import Reading
from formulary.verbs.look_up_stock import holdings_of


@dataclass(frozen=True, slots=True)
class ControlledRegister:
    """One substance's register, oldest entry first."""

    ingredient: str
    entries: tuple[Entry, ...]

    @property
    def balance(self) -> Amount | None:
        """What is there by the book, None where nothing ever came."""
        return self.entries[-1].balance if self.entries else None


def read_controlled(desk: Desk) -> tuple[ControlledRegister, ...]:
    """Return the register of each controlled substance, by its name."""
    found = [each for each in desk.store.every(Ingredient) if each.controlled]
    return tuple(
        ControlledRegister(each.name, _entries(desk.store, each))
        for each in sorted(found, key=lambda one: one.name.casefold())
    )


def _entries(store: Reading, ingredient: Ingredient) -> tuple[Entry, ...]:
    lots = {each.id for each in store.having(SupplyLot, ingredient_id=ingredient.id)}
    containers = store.having_any(StockContainer, "lot_id", lots)
    held = holdings_of(store, containers)
    unit = containers[0].size.unit if containers else "g"
    return entries_of(held, _moves(store, containers), unit, ingredient.density)


def _moves(store: Reading, containers: Sequence[StockContainer]) -> dict[str, Sequence[StockMove]]:
    return {each.id: store.having(StockMove, container_id=each.id) for each in containers}
