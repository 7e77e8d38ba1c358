"""Complaints are entered at the counter and decided by a pharmacist."""

from __future__ import annotations

import pytest

from formulary.desk import Desk
from formulary.errors import BadText, Forbidden, NotFound
from formulary.people import Identity, Part
from formulary.register.complaint import Nature, Teller
from formulary.store import Store
from formulary.verbs.keep_complaint import Told, complaints_of, decide_complaint, open_complaint
from tests.helpers.desks import CID, PIN, a_desk, at, furnished
from tests.helpers.stocked import made

ODD = Told(Nature.LOOKS_DIFFERENT, Teller.CARER, "It is yellow this time.", jar=2)


@pytest.fixture
def desk(store: Store) -> Desk:
    desk = a_desk(furnished(store))
    with store.writing(desk.act(), "keep") as writing:
        writing.put(Identity("x-1", Part.PATIENT, "Ottilie Brandmeer"))
    made(desk, patient="x-1")
    return desk


def test_a_technician_enters_and_a_pharmacist_decides(desk: Desk) -> None:
    opened = open_complaint(at(desk, CID), "K26-00001", ODD)
    assert opened.entered_by == "Cid Dane"
    with pytest.raises(Forbidden):
        decide_complaint(at(desk, CID), opened.id, PIN, "The new wax is yellower.")
    decided = decide_complaint(desk, opened.id, PIN, "The new wax is yellower.", "Told the carer.")
    assert decided.decided is not None
    assert decided.decided.person == "Ada Berg"
    assert complaints_of(desk.store, "m-1") == (decided,)


def test_what_waits_for_a_decision_comes_first(desk: Desk) -> None:
    first = open_complaint(desk, "K26-00001", ODD)
    second = open_complaint(desk, "K26-00001", ODD)
    decide_complaint(desk, first.id, PIN, "No cause found.")
    assert [each.id for each in complaints_of(desk.store, "m-1")] == [second.id, first.id]


def test_the_patient_s_name_stays_out_of_the_text(desk: Desk) -> None:
    named = Told(Nature.REACTION, Teller.PATIENT, "Mrs Brandmeer has a rash.")
    with pytest.raises(BadText):
        open_complaint(desk, "K26-00001", named)
    assert complaints_of(desk.store, "m-1") == ()


def test_a_jar_that_isn_t_of_this_lot_is_refused(desk: Desk) -> None:
    with pytest.raises(BadText):
        open_complaint(desk, "K26-00001", Told(Nature.COMPLAINT, Teller.WARD, "Lumpy.", jar=3))


def test_a_lot_that_isn_t_there_is_refused(desk: Desk) -> None:
    with pytest.raises(NotFound):
        open_complaint(desk, "K26-09999", ODD)


def test_the_history_tells_the_lot_and_not_the_text(desk: Desk) -> None:
    open_complaint(desk, "K26-00001", ODD)
    entry = desk.store.history()[-1]
    assert "K26-00001" in entry.details
    assert "yellow" not in entry.details
