"""What an order has to say at the bench: what waits for it, and how it follows its batch."""

from __future__ import annotations

from dataclasses import replace

from formulary.bench import events
from formulary.bench.events import Event, Recipient
from formulary.bench.stages import ENDS, Stage
from formulary.errors import Conflict, Forbidden
from formulary.formula.version import Version
from formulary.messages import message
from formulary.orders.blocking import Step, standing_before
from formulary.orders.order import Order, OrderState, Purpose, moved_to
from formulary.preparation import Preparation
from formulary.store import Reading, Writing
from formulary.verbs.look_up_order import blocks_of, open_order, order_with, with_names

STEPS: dict[type[Event], Step] = {
    events.LineWeighed: Step.WEIGH,
    events.DropsAdded: Step.WEIGH,
    events.MixtureMade: Step.WEIGH,
    events.LabelsPrinted: Step.LABEL,
    events.HandedOver: Step.HAND_OVER,
}
"""What at the bench waits for which step of an order."""


def require_clear_for(store: Reading, made: Preparation, step: Step) -> None:
    """Raise :class:`formulary.errors.Forbidden` while a preparation's order blocks a step."""
    if made.order_id:
        order = order_with(store, made.order_id)
        _require(store, order, store.get(Version, made.version_id), step)


def require_order_lets(store: Reading, made: Preparation, event: Event) -> None:
    """Raise :class:`formulary.errors.Forbidden` for an event that its order blocks."""
    step = STEPS.get(type(event))
    if step is not None:
        require_clear_for(store, made, step)
    if isinstance(event, events.HandedOver) and made.order_id:
        _require_own_patient(order_with(store, made.order_id), event)


def begin_work(writing: Writing, order_id: str, version: Version) -> Order:
    """Move an order into work. Raises Forbidden while it may not be weighed, or is in work."""
    order = open_order(writing, order_id)
    if order.version_id != version.id:
        raise Conflict(message("orders.changed", number=order.number))
    _require(writing, order, version, Step.WEIGH)
    writing.tell(order=order.number)
    return writing.put(moved_to(order, OrderState.IN_WORK))


def follow_batch(writing: Writing, made: Preparation, event: Event) -> None:
    """Move an order on with its batch: handed over with it, back to received if it came to none."""
    if not made.order_id or made.stage not in ENDS:
        return
    order = order_with(writing, made.order_id)
    if order.state is not OrderState.IN_WORK:
        return
    if made.stage is Stage.HANDED_OVER:
        writing.put(moved_to(order, OrderState.HANDED_OVER))
    else:
        writing.put(moved_to(order, OrderState.RECEIVED, getattr(event, "reason", "") or made.lot))


def as_ordered(store: Reading, made: Preparation) -> Preparation:
    """Return a preparation with the directions and people of its order, as they are now."""
    if not made.order_id:
        return made
    order = order_with(store, made.order_id)
    return replace(
        made,
        directions=order.directions,
        patient_id=order.patient_id,
        prescriber_id=order.prescriber_id,
        language=order.language,
        dosing=order.dosing,
    )


def _require(store: Reading, order: Order, version: Version | None, step: Step) -> None:
    found = standing_before(step, blocks_of(with_names(store, order), version))
    if found:
        raise Forbidden(found[0])


def _require_own_patient(order: Order, event: events.HandedOver) -> None:
    """Refuse another patient's hands for what was made for one."""
    if order.purpose is not Purpose.PATIENT:
        return
    to_patient = event.recipient is Recipient.PATIENT
    if to_patient and event.recipient_id == order.patient_id:
        return
    if to_patient or order.one_off:
        raise Forbidden(message("orders.another_patient", number=order.number))
