"""What of an order stays as it was kept. Pure."""

from __future__ import annotations

from formulary.orders.order import NEXT, Order
from formulary.orders.queries import Query


def may_become(record: Order, stored: Order) -> bool:
    """Tell whether a change leaves what once happened: the receipt, checks, answered queries.

    An order that was handed over or cancelled stays whole.
    """
    return (
        bool(NEXT[stored.state])
        and record.state in (stored.state, *NEXT[stored.state])
        and _receipt(record) == _receipt(stored)
        and record.checks[: len(stored.checks)] == stored.checks
        and len(record.queries) >= len(stored.queries)
        and all(map(_query_may_become, record.queries, stored.queries))
    )


def _receipt(order: Order) -> tuple[object, ...]:
    return order.number, order.purpose, order.received_at, order.received_by


def _query_may_become(now: Query, then: Query) -> bool:
    """Tell whether a query is the same, or the same with the first thing that came back."""
    asked = (now.id, now.question, now.to_whom, now.asked_at, now.asked_by)
    return now == then or (
        then.is_open
        and asked == (then.id, then.question, then.to_whom, then.asked_at, then.asked_by)
    )
