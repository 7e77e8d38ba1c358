"""What can be done to a lot and to a container: a row each, with what is asked for it."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from formulary.desk import Desk
from formulary.quantity.amount import Amount
from formulary.quantity.parsing import parse_amount
from formulary.stock.container import StockContainer
from formulary.stock.lot import Status, SupplyLot
from formulary.stock.retest import may_be_retested
from formulary.stock.shelf import Holding
from formulary.verbs.change_stock import (
    correct_stock,
    count_stock,
    destroy_stock,
    empty_container,
    take_sample,
    waste_stock,
)
from formulary.verbs.complete_lot import complete_lot
from formulary.verbs.decant_stock import decant_stock
from formulary.verbs.decide_lot import accept_lot, reject_lot
from formulary.verbs.halt_lot import freeze_lot, lift_halt
from formulary.verbs.identify_container import identify_container
from formulary.verbs.look_up_stock import lot_with
from formulary.verbs.open_container import open_container
from formulary.verbs.recall_lot import recall_lot
from formulary.verbs.retest_lot import retest_lot
from formulary.verbs.set_level import set_level
from formulary.verbs.two_people import Signing
from ui.forms.days import day_of

Values = Mapping[str, str]
PASSED, FAILED = "passed", "failed"
MORE, LESS = "more", "less"


@dataclass(frozen=True, slots=True)
class Target:
    """What an act is done to: its id, and what the signature's sentence calls it.

    Of a ``controlled`` substance what changes the book is signed by two people. ``revision`` is
    that of the lot in view, ``level`` that of the least amount wanted of it, ``held`` the container
    in view: an act says so. ``unidentified`` are the lot's containers that nobody identified yet.
    """

    id: str
    name: str
    controlled: bool = False
    revision: int | None = None
    level: int | None = None
    unidentified: int = 0
    held: Holding | None = None


@dataclass(frozen=True, slots=True)
class StockAct:
    """An act: its keys, the fields that are asked for, whether it is signed, and the verb.

    Its words are ``ui_stock.act.<name>`` and, where it is signed, ``ui_stock.signing.<name>``.
    ``run`` is given the lot or container, the fields' texts and what it is signed with.
    ``witnessed`` is the verb of an act that two people sign where the substance is controlled.
    """

    name: str
    keys: str
    fields: tuple[str, ...]
    run: Callable[[Desk, Target, Values, Signing], object]
    signed: str = ""
    witnessed: str = ""


def _amount(desk: Desk, values: Values, field: str = "amount") -> Amount:
    return parse_amount(values[field], desk.house.decimal_sign)


def _change(desk: Desk, values: Values) -> Amount:
    """Return what a correction adds, below zero where it takes away."""
    amount = _amount(desk, values)
    return amount * -1 if values["change"] == LESS else amount


ACCEPT = StockAct(
    "accept",
    "Ctrl+Shift+U",
    (),
    lambda desk, on, _, by: accept_lot(desk, on.id, by.pin, seen=on.revision),
    "accept_lot",
)
REJECT = StockAct(
    "reject",
    "Ctrl+Shift+R",
    ("reason",),
    lambda desk, on, said, by: reject_lot(desk, on.id, by.pin, said["reason"], seen=on.revision),
    "reject_lot",
)
RETEST = StockAct(
    "retest",
    "Ctrl+Shift+T",
    ("found_again", "until"),
    lambda desk, on, said, by: retest_lot(
        desk, on.id, by.pin, day_of(said["until"]), said["found_again"]
    ),
    "retest_lot",
)
FREEZE = StockAct(
    "freeze",
    "Ctrl+Shift+F",
    ("reason",),
    lambda desk, on, said, by: freeze_lot(desk, on.id, by.pin, said["reason"], seen=on.revision),
    "freeze_lot",
)
LIFT = StockAct(
    "lift",
    "Ctrl+Shift+H",
    ("reason",),
    lambda desk, on, said, by: lift_halt(desk, on.id, by.pin, said["reason"], seen=on.revision),
    "lift_halt",
)
RECALL = StockAct(
    "recall",
    "Ctrl+Shift+W",
    ("reason",),
    # Whatever happened to the lot meanwhile, a recall doesn't wait.
    lambda desk, on, said, by: recall_lot(
        desk, lot_with(desk.store, on.id).number, by.pin, said["reason"]
    ),
    "recall_lot",
)
COMPLETE = StockAct(
    "complete",
    "Ctrl+Shift+G",
    ("maker", "grade"),
    lambda desk, on, said, _: complete_lot(
        desk, on.id, said["maker"], said["grade"], seen=on.revision
    ),
)
LEVEL = StockAct(
    "level",
    "Ctrl+Shift+M",
    ("amount",),
    lambda desk, on, said, _: _set_level(desk, on, _amount(desk, said)),
)
IDENTIFY = StockAct(
    "identify",
    "Ctrl+I",
    ("method", "result"),
    lambda desk, on, said, by: identify_container(
        desk, on.id, by.pin, said["method"], passed=said["result"] == PASSED, seen=on.held
    ),
    "identify_container",
)
OPEN = StockAct(
    "open", "Ctrl+O", (), lambda desk, on, *_: open_container(desk, on.id, seen=on.held)
)
COUNT = StockAct(
    "count",
    "Ctrl+E",
    ("found", "reason"),
    lambda desk, on, said, by: count_stock(
        desk, on.id, _amount(desk, said, "found"), said["reason"], by, seen=on.held
    ),
    witnessed="count_stock",
)
CORRECT = StockAct(
    "correct",
    "Ctrl+Shift+E",
    ("change", "amount", "reason"),
    lambda desk, on, said, by: correct_stock(
        desk, on.id, _change(desk, said), said["reason"], by, seen=on.held
    ),
    witnessed="correct_stock",
)
WASTE = StockAct(
    "waste",
    "Ctrl+Shift+D",
    ("amount", "reason"),
    lambda desk, on, said, by: waste_stock(
        desk, on.id, _amount(desk, said), said["reason"], by, seen=on.held
    ),
    witnessed="waste_stock",
)
SAMPLE = StockAct(
    "sample",
    "Ctrl+M",
    ("amount", "reason"),
    lambda desk, on, said, by: take_sample(
        desk, on.id, _amount(desk, said), said["reason"], by, seen=on.held
    ),
    witnessed="take_sample",
)
DECANT = StockAct(
    "decant",
    "Ctrl+D",
    ("amount", "place"),
    lambda desk, on, said, by: decant_stock(
        desk, on.id, _amount(desk, said), said["place"].strip(), by, seen=on.held
    ),
    witnessed="decant_stock",
)
USED_UP = StockAct(
    "used_up",
    "Ctrl+U",
    ("reason",),
    lambda desk, on, said, by: empty_container(desk, on.id, said["reason"], by, seen=on.held),
    witnessed="empty_container",
)
DESTROY = StockAct(
    "destroy",
    "Ctrl+Del",
    ("reason",),
    lambda desk, on, said, by: destroy_stock(desk, on.id, said["reason"], by, seen=on.held),
    witnessed="destroy_stock",
)

LOT_ACTS = (ACCEPT, COMPLETE, REJECT, RETEST, FREEZE, LIFT, RECALL, LEVEL)
CONTAINER_ACTS = (IDENTIFY, OPEN, COUNT, CORRECT, WASTE, SAMPLE, DECANT, USED_UP, DESTROY)


def fits_lot(act: StockAct, lot: SupplyLot) -> bool:
    """Tell whether an act makes sense for a lot as it stands; the verb has the last word."""
    if act is ACCEPT:
        return lot.status is Status.QUARANTINE and lot.stop is None
    if act is COMPLETE:
        return lot.status is Status.QUARANTINE
    if act is REJECT:
        return lot.status is not Status.REJECTED
    if act is RETEST:
        return may_be_retested(lot)
    if act is FREEZE:
        return lot.stop is None
    return act is not LIFT or lot.stop is not None


def fits_container(act: StockAct, container: StockContainer) -> bool:
    """Tell whether an act makes sense for a container."""
    if container.emptied_on is not None:
        return False
    if act is IDENTIFY:
        return container.identity is None
    return act is not OPEN or container.opened_on is None


def _set_level(desk: Desk, on: Target, least: Amount) -> object:
    lot = lot_with(desk.store, on.id)
    return set_level(desk, lot.ingredient_id, least, lot.source, seen=on.level)
