"""Orders in a furnished pharmacy, for tests of whatever is done about them."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from fractions import Fraction
from typing import Any

from formulary.desk import Desk
from formulary.formula.content import Content, ShelfLife, Span, Storage
from formulary.formula.content import Period as Lasts
from formulary.formula.version import Version
from formulary.orders.order import Order
from formulary.orders.plausibility import Item, Judged, Opinion
from formulary.patient import PatientDetails
from formulary.quantity.amount import Amount
from formulary.verbs.compose_one_off import compose_one_off
from formulary.verbs.sign_plausibility import sign_plausibility
from formulary.verbs.take_order import Asked, take_order
from tests.helpers.desks import BEN, CID, PIN, at
from tests.helpers.kept import a_content, dry

PATIENT, PRESCRIBER = "Quentin Zimt", "Dr Xenia Yarrow"
DETAILS = PatientDetails(
    born=date(1950, 4, 1),
    weight=Amount(Fraction(72), "kg"),
    allergies=("Wool fat",),
    telephone="0555 0199",
)
ALL_OK = tuple(Judged(item, Opinion.OK) for item in Item)


def asked(version_id: str = "", **more: Any) -> Asked:  # noqa: ANN401  of many types
    """Return all that an order for a patient needs, but a formula where none is given."""
    whole: dict[str, Any] = {
        "patient": PATIENT,
        "details": DETAILS,
        "prescriber": PRESCRIBER,
        "version_id": version_id,
        "target": "100 g",
        "directions": "Thinly, twice a day.",
        "treatment_days": 14,
    }
    return Asked(**(whole | more))


def an_order(desk: Desk, version: Version | None = None, **more: Any) -> Order:  # noqa: ANN401
    """Take an order at Cid's desk."""
    return take_order(at(desk, CID), asked(version.id if version else "", **more))


def checked(desk: Desk, order: Order, *judged: Judged) -> Order:
    """Let Ben find an order plausible but for what is said."""
    answers = {each.item: each for each in (*ALL_OK, *judged)}
    return sign_plausibility(at(desk, BEN), order.id, tuple(answers.values()), PIN)


def a_one_off(desk: Desk, content: Content | None = None) -> Order:
    """Take an order at Cid's desk and compose its one-off there."""
    order = an_order(desk)
    return compose_one_off(at(desk, CID), order.id, content or kept_well(a_content("One-off", "")))


def kept_well(content: Content) -> Content:
    """Return a content that says how it is kept and how long it lasts."""
    lasts = ShelfLife(Lasts(4, Span.WEEKS), reference="House data, study 7")
    return replace(dry(content), storage=Storage(highest=25), shelf_life=lasts)
