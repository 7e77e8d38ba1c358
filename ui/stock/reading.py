"""What the details of a lot show, read in one go on the worker."""

from __future__ import annotations

from dataclasses import dataclass

from formulary.desk import Desk
from formulary.ingredient import Ingredient
from formulary.quantity.amount import Amount
from formulary.stock.container import StockContainer
from formulary.stock.listing import Standing, standing
from formulary.stock.lot import SupplyLot
from formulary.stock.moves import StockMove, running_balance
from formulary.stock.shelf import Holding
from formulary.verbs.look_up_stock import container_numbered, holdings_of, lot_with
from formulary.verbs.set_level import level_of

MOST_MOVES = 200


@dataclass(frozen=True, slots=True)
class Line:
    """One move of a container with what the book said after it."""

    number: str
    move: StockMove
    after: Amount


@dataclass(frozen=True, slots=True)
class LotSeen:
    """A lot with all its containers, the empty ones too, and its latest moves, newest first.

    ``standing`` is None where nothing of it is in the house any more. ``level`` is the revision of
    the least amount that is wanted of it, 0 where nobody set one.
    """

    lot: SupplyLot
    ingredient: str
    holdings: tuple[Holding, ...]
    standing: Standing | None
    lines: tuple[Line, ...]
    controlled: bool = False
    level: int = 0


def read_lot(desk: Desk, lot_id: str) -> LotSeen:
    """Return what the details show. Raises NotFound."""
    lot = lot_with(desk.store, lot_id)
    ingredient = desk.store.get(Ingredient, lot.ingredient_id)
    containers = desk.store.having(StockContainer, lot_id=lot.id)
    held = holdings_of(desk.store, containers)
    level = level_of(desk.store, lot.ingredient_id, lot.source)
    here = [each for each in held if each.container.emptied_on is None]
    return LotSeen(
        lot,
        ingredient.name if ingredient is not None else "",
        tuple(sorted(held, key=lambda each: each.container.number)),
        standing(here, desk.today) if here else None,
        _lines(desk, held, ingredient),
        ingredient is not None and ingredient.controlled,
        level.revision if level is not None else 0,
    )


def lot_of_container(desk: Desk, typed: str) -> str:
    """Return the id of the lot whose container has that number. Raises NotFound and BadText."""
    return container_numbered(desk.store, typed).lot_id


def _lines(
    desk: Desk, held: tuple[Holding, ...], ingredient: Ingredient | None
) -> tuple[Line, ...]:
    density = ingredient.density if ingredient is not None else None
    found = []
    for each in held:
        container = each.container
        moves = desk.store.having(StockMove, container_id=container.id)
        booked = running_balance(moves, container.size.unit, density)
        found += [Line(container.number, move, after) for move, after in booked]
    found.sort(key=lambda line: line.move.id, reverse=True)
    found.sort(key=lambda line: line.move.at, reverse=True)
    return tuple(found[:MOST_MOVES])
