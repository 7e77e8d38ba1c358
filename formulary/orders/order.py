"""An order: what is asked for, for whom, by whom, and how far it has come."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import datetime
from enum import StrEnum

from formulary.errors import Refusal
from formulary.messages import message
from formulary.orders.plausibility import Check
from formulary.orders.queries import Query
from formulary.quantity.amount import Amount
from formulary.wording.directions import Dosing


class Purpose(StrEnum):
    """Whom an order is for."""

    PATIENT = "patient"
    WARD = "ward"
    STOCK = "stock"


class OrderState(StrEnum):
    """How far an order has come; what is cancelled or handed over stays as it was."""

    RECEIVED = "received"
    IN_WORK = "in work"
    HANDED_OVER = "handed over"
    CANCELLED = "cancelled"


NEXT = {
    OrderState.RECEIVED: (OrderState.IN_WORK, OrderState.CANCELLED),
    OrderState.IN_WORK: (OrderState.RECEIVED, OrderState.HANDED_OVER, OrderState.CANCELLED),
    OrderState.HANDED_OVER: (),
    OrderState.CANCELLED: (),
}
"""A batch that is given up puts its order back to received: it is made again or cancelled."""


@dataclass(frozen=True, slots=True)
class Order:
    """What was asked for, and everything asked and decided about it since.

    ``version_id`` is the formula's version to be made, empty until there is one; ``one_off`` tells
    that it was composed for this patient alone. ``target`` is how it is to be filled, as typed for
    scaling ("3 x 60 g"), ``prescribed`` the amount prescribed in all. ``prescription`` is the text
    as written, without the patient's name. ``language`` is what the patient reads, the house's
    label language if empty; ``dosing`` the directions in parts, whose sentences ``directions`` then
    holds in the house's label language. Raises :class:`formulary.errors.Refusal` for an order
    that can't be meant.
    """

    id: str
    purpose: Purpose
    received_at: datetime
    received_by: str
    number: str = ""
    patient_id: str = ""
    ward: str = ""
    prescriber_id: str = ""
    version_id: str = ""
    one_off: bool = False
    target: str = ""
    prescribed: Amount | None = None
    directions: str = ""
    treatment_days: int | None = None
    prescription: str = ""
    queries: tuple[Query, ...] = ()
    checks: tuple[Check, ...] = ()
    state: OrderState = OrderState.RECEIVED
    reason: str = ""
    language: str = ""
    dosing: Dosing | None = None
    revision: int = 0

    def __post_init__(self) -> None:
        if self.received_at.tzinfo is None:
            raise ValueError("an order's time needs its offset")
        if self.patient_id and self.purpose is not Purpose.PATIENT:
            raise Refusal(message("orders.patient_elsewhere"))
        if self.ward.strip() and self.purpose is not Purpose.WARD:
            raise Refusal(message("orders.ward_elsewhere", ward=self.ward))
        if self.one_off and self.purpose is not Purpose.PATIENT:
            raise Refusal(message("orders.one_off_elsewhere"))
        if self.treatment_days is not None and self.treatment_days < 1:
            raise Refusal(message("orders.treatment_days"))


def moved_to(order: Order, state: OrderState, reason: str = "") -> Order:
    """Return the order in its next state.

    Raises :class:`formulary.errors.Refusal` where the states don't follow on each other, and where
    an order is cancelled or put back without a reason.
    """
    if state not in NEXT[order.state]:
        words = {"state": order.state, "wanted": state}
        said = {name: message(f"orders.state.{each.value}") for name, each in words.items()}
        raise Refusal(message("orders.state_does_not_follow", **said))
    if state in (OrderState.CANCELLED, OrderState.RECEIVED) and not reason.strip():
        raise Refusal(message("orders.reason_missing"))
    return replace(order, state=state, reason=reason.strip())
