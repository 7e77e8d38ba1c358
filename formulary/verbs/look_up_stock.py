"""Look stock up: a lot, a container by its number, and what the book says is on the shelf."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from formulary.errors import NotFound
from formulary.ingredient import Ingredient
from formulary.messages import message
from formulary.stock.container import StockContainer
from formulary.stock.lot import SupplyLot
from formulary.stock.moves import StockMove, book
from formulary.stock.numbers import read_container_number
from formulary.stock.shelf import Holding
from formulary.store import Reading


def lot_with(store: Reading, lot_id: str) -> SupplyLot:
    """Return the lot with that id. Raises :class:`formulary.errors.NotFound`."""
    found = store.get(SupplyLot, lot_id)
    if found is None:
        raise NotFound(message("stock.look_up.no_lot", lot=lot_id))
    return found


def container_with(store: Reading, container_id: str) -> StockContainer:
    """Return the container with that id. Raises :class:`formulary.errors.NotFound`."""
    found = store.get(StockContainer, container_id)
    if found is None:
        raise NotFound(message("stock.look_up.no_container", number=container_id))
    return found


def container_numbered(store: Reading, typed: str) -> StockContainer:
    """Return the container whose number was typed or scanned.

    Raises :class:`formulary.errors.BadText` for a mistyped number and
    :class:`formulary.errors.NotFound` for one that was never given.
    """
    number = read_container_number(typed)
    found = store.having(StockContainer, number=number)
    if not found:
        raise NotFound(message("stock.look_up.no_container", number=number))
    return found[0]


def holding_of(store: Reading, container: StockContainer) -> Holding:
    """Return a container with its lot and what the book says is in it."""
    return holdings_of(store, (container,))[0]


def holdings(store: Reading) -> tuple[Holding, ...]:
    """Return every container in the house that still holds something."""
    return holdings_of(
        store, [each for each in store.every(StockContainer) if each.emptied_on is None]
    )


def holdings_of_ingredient(store: Reading, ingredient_id: str) -> tuple[Holding, ...]:
    """Return every container of an ingredient that still holds something."""
    lots = {each.id for each in store.having(SupplyLot, ingredient_id=ingredient_id)}
    found = store.having_any(StockContainer, "lot_id", lots)
    return holdings_of(store, [each for each in found if each.emptied_on is None])


def holdings_of(store: Reading, containers: Sequence[StockContainer]) -> tuple[Holding, ...]:
    """Return containers with their lots and what the book says is in each."""
    of_lots = {each.lot_id for each in containers}
    lots = {each.id: each for each in store.having_any(SupplyLot, "id", of_lots)}
    wanted = {each.ingredient_id for each in lots.values()}
    ingredients = {each.id: each for each in store.having_any(Ingredient, "id", wanted)}
    moves = _by_container(store.having_any(StockMove, "container_id", _ids(containers)))
    return tuple(
        _holding(each, lots[each.lot_id], ingredients, moves.get(each.id, []))
        for each in containers
    )


def _ids(containers: Iterable[StockContainer]) -> set[str]:
    return {each.id for each in containers}


def _by_container(moves: Iterable[StockMove]) -> dict[str, list[StockMove]]:
    found: dict[str, list[StockMove]] = {}
    for move in moves:
        found.setdefault(move.container_id, []).append(move)
    return found


def _holding(
    container: StockContainer,
    lot: SupplyLot,
    ingredients: Mapping[str, Ingredient],
    moves: Sequence[StockMove],
) -> Holding:
    density = ingredients[lot.ingredient_id].density
    return Holding(container, lot, book(moves, container.size.unit, density).on_hand)
