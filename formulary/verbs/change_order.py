"""Change an order until work on it begins; after that only what the label waits for."""

from __future__ import annotations

from dataclasses import replace

from formulary.bench.stages import BEFORE_RELEASE, Stage, is_earlier
from formulary.desk import Desk
from formulary.errors import Refusal
from formulary.messages import message
from formulary.orders.order import Order, OrderState
from formulary.preparation import Preparation
from formulary.store import Reading, Writing
from formulary.verbs.look_up_order import open_order
from formulary.verbs.own_language import require_own_language
from formulary.verbs.take_order import (
    Asked,
    directions_of,
    patient_of,
    prescriber_of,
    require_sense,
)


def change_order(desk: Desk, order_id: str, asked: Asked, *, seen: int | None = None) -> Order:
    """Keep an order as it is asked for now; an empty name leaves the one that is there.

    A signed check no longer holds for what was changed. In work only directions, language, the
    days of treatment and what is known of the patient change, until the label is printed. Raises
    :class:`formulary.errors.Refusal`, BadText where the same typed directions would pass for
    another language's, and Conflict unless ``seen`` is its revision.
    """
    require_sense(desk, asked, order_id)
    with desk.writing("change_order") as writing:
        order = open_order(writing, order_id, seen)
        changed = _changed(desk, order, asked)
        require_own_language(desk.house, order, changed)
        if order.state is OrderState.IN_WORK:
            _require_little(writing, order, changed, asked)
            patient_of(writing, Asked(details=asked.details), order.patient_id)
        else:
            changed = _addressed(writing, changed, asked)
        writing.tell(order=order.number)
        return writing.put(changed)


def asked_of(order: Order) -> Asked:
    """Return what an order asks for now, its people left as they are."""
    return Asked(
        purpose=order.purpose,
        ward=order.ward,
        version_id=order.version_id,
        target=order.target,
        prescribed=order.prescribed,
        directions=order.directions,
        treatment_days=order.treatment_days,
        prescription=order.prescription,
        language=order.language,
        dosing=order.dosing,
    )


def _changed(desk: Desk, order: Order, asked: Asked) -> Order:
    return replace(
        order,
        ward=asked.ward.strip(),
        version_id=asked.version_id,
        one_off=order.one_off and asked.version_id == order.version_id,
        target=asked.target.strip(),
        prescribed=asked.prescribed,
        directions=directions_of(desk, asked),
        treatment_days=asked.treatment_days,
        prescription=asked.prescription,
        language=asked.language,
        dosing=asked.dosing,
    )


def _require_little(store: Reading, order: Order, changed: Order, asked: Asked) -> None:
    same = replace(
        changed,
        directions=order.directions,
        treatment_days=order.treatment_days,
        language=order.language,
        dosing=order.dosing,
    )
    people = (asked.patient, asked.patient_id, asked.prescriber, asked.prescriber_id)
    if same != order or any(each.strip() for each in people):
        raise Refusal(message("orders.in_work", number=order.number))
    for made in store.having(Preparation, order_id=order.id):
        if made.stage in BEFORE_RELEASE and not is_earlier(made.stage, Stage.LABELLED):
            raise Refusal(message("orders.labelled", number=order.number, lot=made.lot))


def _addressed(writing: Writing, order: Order, asked: Asked) -> Order:
    """Return the order with its people: who is there is written anew, who isn't is added."""
    return replace(
        order,
        patient_id=patient_of(writing, asked, order.patient_id),
        prescriber_id=prescriber_of(writing, asked, order.prescriber_id),
    )
