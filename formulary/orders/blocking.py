"""What an order still lacks, and which step that blocks: each in a sentence with what to do."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum

from formulary.errors import Forbidden
from formulary.formula.content import Route
from formulary.messages import Message, message
from formulary.orders.order import Order, OrderState, Purpose
from formulary.orders.plausibility import Subject, said
from formulary.orders.queries import open_queries


class Step(StrEnum):
    """A step that an order can block."""

    WEIGH = "weigh"
    LABEL = "label"
    HAND_OVER = "hand over"


NEEDS_DIRECTIONS = frozenset({Route.ORAL, Route.RECTAL})
"""Routes where nobody can judge the dose without the directions."""

EVERY_STEP = frozenset(Step)
_FROM_LABEL = frozenset({Step.LABEL, Step.HAND_OVER})


@dataclass(frozen=True, slots=True)
class Block:
    """A sentence that says what is missing, with the steps that wait for it."""

    steps: frozenset[Step]
    said: Message


def subject_of(order: Order, content_hash: str) -> Subject:
    """Return what a plausibility check of this order is about."""
    return Subject(
        version_id=order.version_id,
        content_hash=content_hash,
        patient_id=order.patient_id,
        target=order.target,
        directions=order.directions.strip(),
        treatment_days=order.treatment_days,
    )


def needs_check(order: Order) -> bool:
    """Tell whether an order is checked for plausibility: a prescription for a patient is."""
    return order.purpose is Purpose.PATIENT


def blocks(order: Order, route: Route, content_hash: str) -> tuple[Block, ...]:
    """Return everything that blocks a step of this order now.

    ``route`` and ``content_hash`` are those of the formula version that is to be made.
    """
    return (
        *_of_state(order),
        *_of_addressee(order),
        *_of_directions(order, route),
        *_of_queries(order),
        *_of_check(order, content_hash),
    )


def standing_before(step: Step, found: tuple[Block, ...]) -> tuple[Message, ...]:
    """Return the sentences of what blocks one step."""
    return tuple(each.said for each in found if step in each.steps)


def require_clear(order: Order, step: Step, route: Route, content_hash: str) -> None:
    """Raise :class:`formulary.errors.Forbidden` with the first sentence of what blocks a step."""
    in_the_way = standing_before(step, blocks(order, route, content_hash))
    if in_the_way:
        raise Forbidden(in_the_way[0])


def withdrawn(title: str, number: int) -> Block:
    """Return what blocks an order that waits for a version withdrawn meanwhile."""
    return Block(EVERY_STEP, message("orders.block.withdrawn", title=title, number=number))


def _of_state(order: Order) -> Iterator[Block]:
    if order.state is OrderState.CANCELLED:
        yield Block(EVERY_STEP, message("orders.block.cancelled", reason=order.reason))
    if not order.version_id:
        yield Block(EVERY_STEP, message("orders.block.no_formula"))
    if not order.target.strip():
        yield Block(EVERY_STEP, message("orders.block.no_target"))


def _of_addressee(order: Order) -> Iterator[Block]:
    if order.purpose is Purpose.PATIENT and not order.patient_id:
        yield Block(EVERY_STEP, message("orders.block.no_patient"))
    if order.purpose is Purpose.WARD and not order.ward.strip():
        yield Block(_FROM_LABEL, message("orders.block.no_ward"))


def _of_directions(order: Order, route: Route) -> Iterator[Block]:
    if order.purpose is not Purpose.PATIENT or order.directions.strip():
        return
    if route in NEEDS_DIRECTIONS:
        way = message(f"formula.route.{route.name.lower()}")
        yield Block(EVERY_STEP, message("orders.block.dose_unknown", route=way))
    else:
        yield Block(_FROM_LABEL, message("orders.block.no_directions"))


def _of_queries(order: Order) -> Iterator[Block]:
    for query in open_queries(order.queries):
        words = message("orders.block.query", question=query.question, to_whom=query.to_whom)
        yield Block(EVERY_STEP, words)


def _of_check(order: Order, content_hash: str) -> Iterator[Block]:
    if not needs_check(order):
        return
    if not order.checks:
        yield Block(EVERY_STEP, message("orders.block.unchecked"))
        return
    check = order.checks[-1]
    if check.subject != subject_of(order, content_hash):
        yield Block(EVERY_STEP, message("orders.block.changed_since", at=check.signature.at))
    for each in check.undecided:
        note = each.note.strip().rstrip(".")
        words = message("orders.block.undecided", item=said(each.item), note=note)
        yield Block(EVERY_STEP, words)
