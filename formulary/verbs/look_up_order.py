"""Look an order up: by id or number, with what blocks it and what was made for it."""

from __future__ import annotations

from dataclasses import dataclass, replace

from formulary.canonical import content_hash
from formulary.errors import Conflict, NotFound, Refusal
from formulary.formula.content import Route
from formulary.formula.version import State, Version
from formulary.messages import Message, message
from formulary.orders.blocking import Block, blocks, withdrawn
from formulary.orders.order import NEXT, Order, OrderState
from formulary.orders.queries import Query
from formulary.orders.standing import Standing, standing
from formulary.people import Identity
from formulary.preparation import Preparation
from formulary.store import Reading
from formulary.verbs.last_supply import strength_changes

_WITHOUT_FORMULA = Route.SKIN
"""While there is no formula everything is blocked for that alone."""


@dataclass(frozen=True, slots=True)
class OrderSeen:
    """An order without its patient; its queries name whom they went to.

    ``notes`` are what must be thought of: a strength that isn't that of the last supply.
    """

    order: Order
    version: Version | None
    preparations: tuple[Preparation, ...]
    blocks: tuple[Block, ...]
    notes: tuple[Message, ...] = ()

    @property
    def standing(self) -> Standing:
        """Return what the order waits for."""
        return standing(self.order, self.blocks)


def order_with(store: Reading, order_id: str) -> Order:
    """Return the order with that id. Raises :class:`formulary.errors.NotFound`."""
    found = store.get(Order, order_id)
    if found is None:
        raise NotFound(message("orders.none_such", number=order_id))
    return found


def order_numbered(store: Reading, number: str) -> Order:
    """Return the order with that number. Raises :class:`formulary.errors.NotFound`."""
    found = store.having(Order, number=number.strip().upper())
    if not found:
        raise NotFound(message("orders.none_such", number=number.strip()))
    return found[0]


def open_order(store: Reading, order_id: str, known: int | None = None) -> Order:
    """Return an order that isn't at its end. Raises :class:`formulary.errors.Refusal`.

    ``known`` is the revision that the person at the desk saw; where the order is another by now it
    is :class:`formulary.errors.Conflict`, saying who changed it.
    """
    order = order_with(store, order_id)
    if known is not None and known != order.revision:
        raise Conflict(_changed_meanwhile(store, order))
    if not NEXT[order.state]:
        state = message(f"orders.state.{order.state.value}")
        raise Refusal(message("orders.at_its_end", number=order.number, state=state))
    return order


def _changed_meanwhile(store: Reading, order: Order) -> Message:
    entry = store.last_change(Order, order.id)
    if entry is None:
        return message("orders.changed", number=order.number)
    return message(
        "orders.changed_by",
        number=order.number,
        by=entry.act.person,
        at=entry.act.at,
        act=message(f"roles.verb.{entry.verb}"),
    )


def orders_in(store: Reading, *states: OrderState) -> tuple[OrderSeen, ...]:
    """Return the orders in these states, the oldest first; in every state if none is given."""
    wanted = [state.value for state in states or tuple(OrderState)]
    found = sorted(store.having_any(Order, "state", wanted), key=lambda each: each.received_at)
    return tuple(seen(store, each) for each in found)


def seen(store: Reading, order: Order, *, with_notes: bool = False) -> OrderSeen:
    """Return an order as it is shown; with its notes where one alone is looked at."""
    version = store.get(Version, order.version_id) if order.version_id else None
    named = with_names(store, order)
    made = tuple(store.having(Preparation, order_id=order.id))
    notes = strength_changes(store, order) if with_notes else ()
    return OrderSeen(named, version, made, blocks_of(named, version), notes)


def blocks_of(order: Order, version: Version | None) -> tuple[Block, ...]:
    """Return what blocks a step of an order for this version."""
    if version is None:
        return blocks(order, _WITHOUT_FORMULA, "")
    found = blocks(order, version.content.route, content_hash(version.content))
    if order.state is OrderState.RECEIVED and version.state is State.WITHDRAWN:
        # What is at the bench already is decided there; nothing new begins.
        return (withdrawn(version.content.title, version.number), *found)
    return found


def with_names(store: Reading, order: Order) -> Order:
    """Return the order, the names of those who were asked in place of their ids."""
    ids = {each for query in order.queries for each in (query.to_whom, query.answered_by) if each}
    names = {each.id: each.name for each in store.having_any(Identity, "id", ids)}
    return replace(order, queries=tuple(_named(query, names) for query in order.queries))


def _named(query: Query, names: dict[str, str]) -> Query:
    return replace(
        query,
        to_whom=names.get(query.to_whom, ""),
        answered_by=names.get(query.answered_by, ""),
    )
