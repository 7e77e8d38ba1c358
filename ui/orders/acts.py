"""What is asked for before something is done about an order: a row for each act."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from formulary.desk import Desk
from formulary.orders.order import NEXT
from formulary.orders.queries import open_queries
from formulary.verbs.answer_query import answer_query, take_back_query
from formulary.verbs.ask_prescriber import ask_prescriber
from formulary.verbs.cancel_order import cancel_order
from formulary.verbs.look_up_order import OrderSeen

Values = Mapping[str, str]


@dataclass(frozen=True, slots=True)
class OrderAct:
    """An act: its keys, its fields (those with ``*`` are required), and the verb.

    Its words are ``ui_orders.act.<name>``; ``run`` is given the order and the fields' texts.
    """

    name: str
    keys: str
    fields: tuple[str, ...]
    run: Callable[[Desk, OrderSeen, Values], object]
    on_query: bool = False


def query_of(seen: OrderSeen) -> str:
    """Return the id of the query that waits longest, "" for none."""
    waiting = open_queries(seen.order.queries)
    return waiting[0].id if waiting else ""


ASK = OrderAct(
    "ask",
    "Ctrl+U",
    ("question*", "to_whom"),
    lambda desk, seen, said: ask_prescriber(desk, seen.order.id, said["question"], said["to_whom"]),
)
ANSWER = OrderAct(
    "answer",
    "Ctrl+Y",
    ("answer*", "answered_by"),
    lambda desk, seen, said: answer_query(
        desk, seen.order.id, query_of(seen), said["answer"], said["answered_by"]
    ),
    on_query=True,
)
TAKE_BACK = OrderAct(
    "take_back",
    "Ctrl+Shift+Y",
    ("reason*",),
    lambda desk, seen, said: take_back_query(desk, seen.order.id, query_of(seen), said["reason"]),
    on_query=True,
)
CANCEL = OrderAct(
    "cancel",
    "Ctrl+Shift+Del",
    ("reason*",),
    lambda desk, seen, said: cancel_order(
        desk, seen.order.id, said["reason"], seen=seen.order.revision
    ),
)
ACTS = (ASK, ANSWER, TAKE_BACK, CANCEL)


def fits(act: OrderAct, seen: OrderSeen) -> bool:
    """Tell whether an act makes sense for an order as it stands; the verb has the last word."""
    is_open = bool(NEXT[seen.order.state])
    return is_open and (not act.on_query or bool(query_of(seen)))
