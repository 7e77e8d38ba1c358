"""What the page Labels says of a preparation that was made for an order."""

from __future__ import annotations

from dataclasses import replace

from formulary.desk import Desk
from formulary.orders.plausibility import Item, Judged, Opinion
from formulary.people import Person
from formulary.verbs.make_order import make_order
from formulary.verbs.sign_plausibility import sign_plausibility
from tests.helpers.desks import PIN, PIN_HASH
from tests.helpers.ordered import PATIENT, PRESCRIBER
from tests.ui.orders.conftest import taken
from ui.labels.subject import of_lot


def test_directions_and_people_are_those_of_the_order_and_change_there(desk: Desk) -> None:
    order = taken(desk)
    with desk.writing("set_pin") as writing:
        me: Person = writing.put(replace(desk.person, pin_hash=PIN_HASH))
    signing = replace(desk, person=me)
    sign_plausibility(signing, order.id, [Judged(item, Opinion.OK) for item in Item], PIN)
    subject = of_lot(desk, make_order(signing, order.id).lot)
    said = subject.address
    assert (said.directions, said.patient, said.prescriber) == (
        "Thinly, twice a day.",
        PATIENT,
        PRESCRIBER,
    )
    assert not subject.addressable
