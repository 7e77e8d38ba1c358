"""Where an order stands, in the word that says what is next."""

from __future__ import annotations

from collections.abc import Sequence
from enum import StrEnum

from formulary.orders.blocking import Block, Step
from formulary.orders.order import NEXT, Order, OrderState
from formulary.orders.queries import open_queries


class Standing(StrEnum):
    """What an order waits for."""

    WAITING = "waiting for prescriber"
    INCOMPLETE = "incomplete"
    TO_CHECK = "to be checked"
    READY = "ready"
    IN_WORK = "in work"
    HANDED_OVER = "handed over"
    CANCELLED = "cancelled"


_OF_CHECK = frozenset(f"orders.block.{key}" for key in ("unchecked", "changed_since", "undecided"))


def standing(order: Order, found: Sequence[Block]) -> Standing:
    """Return where an order stands, given what blocks it."""
    if not NEXT[order.state]:
        return Standing(order.state.value)
    if open_queries(order.queries):
        return Standing.WAITING
    if order.state is OrderState.IN_WORK:
        return Standing.IN_WORK
    before_weighing = {block.said.key for block in found if Step.WEIGH in block.steps}
    if not before_weighing:
        return Standing.READY
    return Standing.TO_CHECK if before_weighing <= _OF_CHECK else Standing.INCOMPLETE
