"""Orders as short as a test can say them."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime
from typing import Any

from formulary.catalogue import Catalogue
from formulary.formula.content import Route
from formulary.messages import Message
from formulary.orders.blocking import Step, blocks, standing_before, subject_of
from formulary.orders.order import Order, Purpose
from formulary.orders.plausibility import Check, Item, Judged, Opinion, sign
from formulary.orders.queries import Query
from formulary.signing import Meaning, Signature

NINE = datetime(2026, 3, 2, 9, tzinfo=UTC)
TEN = datetime(2026, 3, 2, 10, tzinfo=UTC)
HASH = "a1"
ALL_OK = tuple(Judged(item, Opinion.OK) for item in Item)
SIGNED = Signature("p-1", "Vera Stern", "pharmacist", Meaning.CHECKED, NINE)


def an_order(**more: Any) -> Order:  # noqa: ANN401  of many types
    """Return a complete order for a patient, not checked yet."""
    whole: dict[str, Any] = {
        "purpose": Purpose.PATIENT,
        "patient_id": "i-1",
        "version_id": "v-1",
        "target": "100 g",
        "directions": "Thinly, twice a day.",
        "treatment_days": 14,
    }
    return Order("o-1", received_at=NINE, received_by="p-2", **(whole | more))


def checked(order: Order, *judged: Judged) -> Order:
    """Return the order with a signed check, everything plausible but what is said."""
    answers = {each.item: each for each in (*ALL_OK, *judged)}
    check: Check = sign(subject_of(order, HASH), tuple(answers.values()), SIGNED)
    return replace(order, checks=(*order.checks, check))


def a_query(**more: Any) -> Query:  # noqa: ANN401  of many types
    """Return a query that was just put."""
    return replace(Query("q-1", "Is 10 % meant?", "Dr. Berg", NINE, "p-2"), **more)


def blocking(step: Step, order: Order, route: Route = Route.SKIN) -> list[str]:
    """Return the keys of the sentences that stand before a step, without their area."""
    found = standing_before(step, blocks(order, route, HASH))
    return [said.key.removeprefix("orders.block.") for said in found]


def text(said: Message) -> str:
    """Return a message in English."""
    return Catalogue().text(said)
