"""List what is on the shelf, and what is low of it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from formulary.ingredient import Ingredient
from formulary.stock.container import StockContainer
from formulary.stock.counting import CountedGood, runs_low
from formulary.stock.listing import LotOnShelf, listed
from formulary.stock.lot import SupplyLot
from formulary.stock.shelf import Level, Low, low
from formulary.store import Reading
from formulary.verbs.count_goods import goods_left
from formulary.verbs.look_up_stock import holdings, holdings_of


@dataclass(frozen=True, slots=True)
class Counted:
    """Counted goods and how many pieces the book says are left."""

    good: CountedGood
    left: int

    @property
    def is_low(self) -> bool:
        """Return whether fewer are left than the house wants to have."""
        return runs_low(self.good, self.left)


@dataclass(frozen=True, slots=True)
class Stock:
    """All that is on the shelf: lots, what is low of them by ingredient's name, counted goods."""

    lots: tuple[LotOnShelf, ...]
    low: tuple[tuple[str, Low], ...]
    goods: tuple[Counted, ...]


def list_stock(store: Reading, today: date) -> Stock:
    """Return what is on the shelf today."""
    names = {each.id: each.name for each in store.every(Ingredient)}
    held = holdings(store)
    missing = low(store.every(Level), held, today)
    return Stock(
        listed(held, names, today),
        tuple(sorted(_named(missing, names), key=lambda each: each[0].casefold())),
        tuple(
            Counted(each, goods_left(store, each.id))
            for each in sorted(store.every(CountedGood), key=lambda good: good.name.casefold())
        ),
    )


def lot_on_shelf(store: Reading, lot: SupplyLot, today: date) -> LotOnShelf | None:
    """Return one lot with those of its containers that are in the house, None without any."""
    containers = [
        each for each in store.having(StockContainer, lot_id=lot.id) if each.emptied_on is None
    ]
    ingredient = store.get(Ingredient, lot.ingredient_id)
    names = {} if ingredient is None else {ingredient.id: ingredient.name}
    found = listed(holdings_of(store, containers), names, today)
    return found[0] if found else None


def _named(missing: Iterable[Low], names: dict[str, str]) -> list[tuple[str, Low]]:
    return [(names.get(each.level.ingredient_id, ""), each) for each in missing]
