"""Patients and prescribers known from earlier orders, and an order that isn't kept yet."""

from __future__ import annotations

from dataclasses import replace

import pytest

from formulary.desk import Desk
from formulary.errors import Forbidden, Refusal
from formulary.orders.order import Purpose
from formulary.patient import PatientDetails
from formulary.people import Part, Person, Post
from formulary.verbs.change_order import change_order
from formulary.verbs.find_person import find_person
from formulary.verbs.keep_order_draft import drop_order_draft, keep_order_draft, order_draft
from formulary.verbs.take_order import Asked, take_order
from formulary.verbs.view_patient import view_patient
from tests.helpers.desks import BEN, CID, at
from tests.helpers.ordered import DETAILS, PATIENT, an_order, asked


def test_somebody_is_found_by_the_beginnings_of_words(desk: Desk) -> None:
    order = an_order(desk, patient="Élodie Zimt-Marrow")
    desk = at(desk, CID)
    for typed in ("elo", "ZIM elod", "marrow"):
        (found,) = find_person(desk, Part.PATIENT, typed)
        assert (found.id, found.details) == (order.patient_id, DETAILS)
    assert find_person(desk, Part.PATIENT, "imt") == ()
    assert find_person(desk, Part.PRESCRIBER, "elodie") == ()


def test_a_search_is_on_record_by_ids_alone(desk: Desk) -> None:
    order = an_order(desk)
    find_person(at(desk, CID), Part.PATIENT, "zimt")
    entry = desk.store.history(limit=1000)[-1]
    assert entry.verb == "find_person"
    assert order.patient_id in entry.details
    assert "imt" not in entry.details


def test_nobody_lists_everybody(desk: Desk) -> None:
    with pytest.raises(Refusal):
        find_person(at(desk, CID), Part.PATIENT, " z ")
    reader = Person("p-9", "Rea", Post.READER)
    with pytest.raises(Forbidden):
        find_person(replace(desk, person=reader, signed_in=True), Part.PATIENT, "zimt")


def test_two_orders_share_one_patient(desk: Desk) -> None:
    first = an_order(desk)
    heavier = replace(DETAILS, telephone="0555 0200")
    second = take_order(
        at(desk, CID), asked(patient="", patient_id=first.patient_id, details=heavier)
    )
    assert second.patient_id == first.patient_id
    assert view_patient(at(desk, CID), first.id).details.telephone == "0555 0200"
    assert view_patient(at(desk, CID), first.id).patient == PATIENT


def test_a_shared_patient_s_name_isn_t_changed_by_one_order(desk: Desk) -> None:
    first = an_order(desk)
    second = take_order(at(desk, CID), asked(patient="", patient_id=first.patient_id, details=None))
    changed = change_order(at(desk, CID), second.id, asked(patient="Rosa Zimtmann", details=None))
    assert changed.patient_id != first.patient_id
    assert view_patient(at(desk, CID), first.id).patient == PATIENT
    assert view_patient(at(desk, CID), second.id).patient == "Rosa Zimtmann"


def test_a_patient_of_one_order_is_corrected_in_place(desk: Desk) -> None:
    order = an_order(desk)
    changed = change_order(at(desk, CID), order.id, asked(patient="Quentin Zimmt", details=None))
    assert changed.patient_id == order.patient_id
    assert view_patient(at(desk, CID), order.id).patient == "Quentin Zimmt"


def test_a_prescriber_has_a_telephone(desk: Desk) -> None:
    order = an_order(desk, prescriber_details=PatientDetails(telephone="0555 0144"))
    assert view_patient(at(desk, CID), order.id).prescriber_telephone == "0555 0144"


def test_a_draft_comes_back_to_whoever_typed_it(desk: Desk) -> None:
    keep_order_draft(at(desk, CID), {"patient": PATIENT, "target": "", "age": "34 years"})
    assert order_draft(at(desk, CID)) == {"patient": PATIENT, "age": "34 years"}
    assert order_draft(at(desk, BEN)) == {}
    keep_order_draft(at(desk, CID), {"patient": "Rosa"})
    assert order_draft(at(desk, CID)) == {"patient": "Rosa"}
    drop_order_draft(at(desk, CID))
    assert order_draft(at(desk, CID)) == {}


def test_a_draft_is_kept_where_names_are(desk: Desk) -> None:
    keep_order_draft(replace(at(desk, CID), signed_in=False), {"patient": PATIENT})
    assert find_person(at(desk, CID), Part.PATIENT, "zimt") == ()
    assert all(PATIENT not in entry.details for entry in desk.store.history(limit=1000))


def test_an_emptied_form_leaves_no_draft(desk: Desk) -> None:
    keep_order_draft(at(desk, CID), {"patient": PATIENT})
    keep_order_draft(at(desk, CID), {"patient": " "})
    assert order_draft(at(desk, CID)) == {}


def test_details_of_a_picked_patient_need_no_name(desk: Desk) -> None:
    first = an_order(desk)
    wanted = Asked(patient_id=first.patient_id, details=DETAILS)
    assert take_order(at(desk, CID), wanted).patient_id == first.patient_id


def test_who_is_known_from_several_orders_is_listed_once(desk: Desk) -> None:
    old = PatientDetails(age_months=12 * 83, told_on=desk.today)
    for details in (None, old, old, None):
        known = Asked(Purpose.PATIENT, patient="Osric Penhale", details=details, target="100 g")
        take_order(at(desk, CID), known)
    (found,) = find_person(at(desk, CID), Part.PATIENT, "penhale")
    assert found.details == old
    young = replace(old, age_months=12 * 8)
    other = Asked(Purpose.PATIENT, patient="Osric Penhale", details=young, target="100 g")
    take_order(at(desk, CID), other)
    found_now = find_person(at(desk, CID), Part.PATIENT, "penhale")
    assert {each.details for each in found_now} == {old, young}, "of one name, two people"
