"""Trace a lot, a container, a preparation or a jar both ways, by what stands on it."""

from __future__ import annotations

from formulary.errors import BadText, NotFound
from formulary.labels.jar_code import JAR_SIGN, jar_named
from formulary.messages import message
from formulary.stock.container import StockContainer
from formulary.stock.lot import SupplyLot
from formulary.stock.numbers import read_container_number
from formulary.stock.recall import numbered
from formulary.store import Reading
from formulary.tracing import Node, Trace, both_ways
from formulary.verbs.trace_jars import jar_node
from formulary.verbs.trace_links import (
    backward,
    container_node,
    forward,
    lot_node,
    preparation_node,
)


def trace_lot(store: Reading, typed: str) -> tuple[Trace, Trace]:
    """Return what came of it, and what it came from.

    ``typed`` is a preparation's lot, one of its jars (``K26-00042/1``) or what its code says, a
    container's number or a supplier's lot number. Raises
    :class:`formulary.errors.NotFound` for anything else.
    """
    starts = starts_of(store, jar_named(typed))
    if not starts:
        raise NotFound(message("stock.look_up.nothing_to_trace", what=typed.strip()))
    return both_ways(starts, forward(store), backward(store))


def starts_of(store: Reading, typed: str) -> tuple[Node, ...]:
    """Return the nodes that a number stands for; a supplier's lot may have come several times."""
    lot, _, _ = typed.partition(JAR_SIGN)
    made = store.preparation(typed) or store.preparation(lot)
    if made is not None:
        return (jar_node(store, typed) or preparation_node(made),)
    lots = numbered(store.every(SupplyLot), typed)
    # A supplier's number may read like a container's; then both are followed.
    return (*_container(store, typed), *map(lot_node, lots))


def _container(store: Reading, typed: str) -> tuple[Node, ...]:
    try:
        number = read_container_number(typed)
    except BadText:
        return ()
    return tuple(container_node(each) for each in store.having(StockContainer, number=number))
