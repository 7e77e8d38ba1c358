"""Put a query to the prescriber; until it is answered nothing is weighed."""

from __future__ import annotations

from dataclasses import replace

from formulary.desk import Desk
from formulary.ids import new_id
from formulary.orders.order import Order
from formulary.orders.queries import Query, ask
from formulary.people import Part
from formulary.verbs.look_up_order import open_order
from formulary.verbs.take_order import identified


def ask_prescriber(desk: Desk, order_id: str, question: str, to_whom: str = "") -> Order:
    """Add a query to an order; it goes to the prescriber if nobody else is named.

    Raises :class:`formulary.errors.Refusal` for one that asks nothing or nobody.
    """
    with desk.writing("ask_prescriber") as writing:
        order = open_order(writing, order_id)
        asked = identified(writing, Part.PRESCRIBER, to_whom) or order.prescriber_id
        query = Query(new_id(), question.strip(), asked, desk.act().at, desk.person.id)
        writing.tell(order=order.number)
        return writing.put(replace(order, queries=ask(order.queries, query)))
