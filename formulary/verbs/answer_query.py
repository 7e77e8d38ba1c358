"""Note what came back to a query, or that it needs no answer any more."""

from __future__ import annotations

from dataclasses import replace

from formulary.desk import Desk
from formulary.orders.order import Order
from formulary.orders.queries import answer, take_back
from formulary.people import Part
from formulary.verbs.look_up_order import open_order
from formulary.verbs.take_order import identified


def answer_query(desk: Desk, order_id: str, query_id: str, text: str, by: str = "") -> Order:
    """Note an answer; it came from whoever was asked if nobody else is named.

    Raises :class:`formulary.errors.Refusal` for an empty answer and a query that is closed.
    """
    with desk.writing("answer_query") as writing:
        order = open_order(writing, order_id)
        asked = {each.id: each.to_whom for each in order.queries}
        who = identified(writing, Part.PRESCRIBER, by) or asked.get(query_id, "")
        now, me = desk.act().at, desk.person.id
        answered = answer(order.queries, query_id, text.strip(), who, now, me)
        writing.tell(order=order.number)
        return writing.put(replace(order, queries=answered))


def take_back_query(desk: Desk, order_id: str, query_id: str, reason: str) -> Order:
    """Close a query unanswered. Raises :class:`formulary.errors.Refusal` without a reason."""
    with desk.writing("answer_query", reason) as writing:
        order = open_order(writing, order_id)
        now, me = desk.act().at, desk.person.id
        closed = take_back(order.queries, query_id, reason.strip(), now, me)
        writing.tell(order=order.number)
        return writing.put(replace(order, queries=closed))
