"""Orders from the counter to the bench: what is kept, asked, signed, and what waits for it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import date

import pytest

from formulary.bench.events import Cancelled, HandedOver, Recipient
from formulary.bench.stages import Stage
from formulary.canonical import to_plain
from formulary.desk import Desk
from formulary.errors import Conflict, Forbidden, NotFound, Refusal
from formulary.formula.content import Role, Route
from formulary.formula.version import State, Version
from formulary.messages import message
from formulary.orders.order import Order, OrderState, Purpose
from formulary.orders.plausibility import Item, Judged, Opinion
from formulary.orders.standing import Standing
from formulary.patient import PatientDetails
from formulary.people import Identity
from formulary.verbs.address_preparation import address_preparation
from formulary.verbs.answer_query import answer_query, take_back_query
from formulary.verbs.ask_prescriber import ask_prescriber
from formulary.verbs.cancel_order import cancel_order
from formulary.verbs.change_order import change_order
from formulary.verbs.compose_one_off import compose_one_off
from formulary.verbs.issue_labels import label_contents
from formulary.verbs.look_up_order import order_numbered, order_with, orders_in, seen
from formulary.verbs.make_order import make_order
from formulary.verbs.move_version import put_in_use, withdraw
from formulary.verbs.order_at_bench import require_order_lets
from formulary.verbs.sign_plausibility import sign_plausibility
from formulary.verbs.start_preparation import Order as Making
from formulary.verbs.start_preparation import start_preparation
from formulary.verbs.take_order import take_order
from formulary.verbs.view_patient import view_patient
from formulary.verbs.work_at_bench import record
from formulary.verbs.write_version import write_version
from tests.helpers.desks import ADA, BEN, CID, PIN, at, in_use
from tests.helpers.formulas import a_formula, active
from tests.helpers.kept import a_content
from tests.helpers.ordered import (
    ALL_OK,
    DETAILS,
    PATIENT,
    PRESCRIBER,
    a_one_off,
    an_order,
    asked,
    checked,
    kept_well,
)
from tests.helpers.stocked_bench import a_job, a_stocked_house


@pytest.fixture
def version(desk: Desk) -> Version:
    """Put a cream in use."""
    return in_use(desk)


def refused(caught: pytest.ExceptionInfo[Refusal]) -> str:
    """Return the key of the sentence that was said."""
    return caught.value.message.key


# Taking and changing


def test_an_order_gets_the_next_number_of_the_year(desk: Desk, version: Version) -> None:
    numbers = [an_order(desk, version).number for _ in range(2)]
    assert numbers == ["ORD26-0001", "ORD26-0002"]
    assert order_numbered(desk.store, " ord26-0002 ").number == "ORD26-0002"


def test_the_patient_is_kept_with_the_identity_alone(desk: Desk, version: Version) -> None:
    order = an_order(desk, version)
    identity = desk.store.get(Identity, order.patient_id)
    assert identity is not None
    assert (identity.name, identity.details) == (PATIENT, DETAILS)
    elsewhere = [str(to_plain(order)), *(each.details for each in desk.store.history())]
    for word in ("Zimt", "Yarrow", "Wool fat", "0555"):
        assert not any(word in text for text in elsewhere)


def test_looking_at_a_patient_is_on_record_without_the_name(desk: Desk, version: Version) -> None:
    order = an_order(desk, version)
    looked = view_patient(at(desk, CID), order.id)
    assert (looked.patient, looked.details, looked.prescriber) == (PATIENT, DETAILS, PRESCRIBER)
    entry = desk.store.history(limit=1000)[-1]
    assert (entry.verb, entry.act.person_id) == ("view_patient", CID.id)
    assert order.number in entry.details
    assert "Zimt" not in entry.details


def test_an_erased_patient_leaves_the_order_readable(desk: Desk, version: Version) -> None:
    order = an_order(desk, version)
    with desk.writing("take_order") as writing:
        writing.remove(Identity, order.patient_id)
    assert view_patient(at(desk, CID), order.id).patient == ""
    assert seen(desk.store, order).order.number == order.number


def test_an_order_without_a_formula_is_incomplete(desk: Desk) -> None:
    assert seen(desk.store, an_order(desk)).standing is Standing.INCOMPLETE


def test_an_order_takes_a_version_in_use_only(desk: Desk) -> None:
    draft = write_version(desk, a_content())
    with pytest.raises(Refusal) as caught:
        an_order(desk, draft)
    assert refused(caught) == "verbs.not_in_use"
    with pytest.raises(NotFound):
        take_order(at(desk, CID), asked("nowhere"))


@pytest.mark.parametrize(
    ("more", "key"),
    [
        ({"target": "60 u"}, "quantity.unit.u"),
        ({"purpose": Purpose.WARD}, "orders.patient_elsewhere"),
        ({"patient": ""}, "orders.details_of_nobody"),
        ({"treatment_days": 0}, "orders.treatment_days"),
    ],
)
def test_what_can_t_be_meant_is_refused_and_gets_no_number(
    desk: Desk, version: Version, more: dict[str, object], key: str
) -> None:
    with pytest.raises(Refusal) as caught:
        an_order(desk, version, **more)
    assert refused(caught) == key
    assert an_order(desk, version).number == "ORD26-0001"


def test_a_change_makes_the_check_be_signed_again(desk: Desk, version: Version) -> None:
    order = checked(desk, an_order(desk, version))
    change_order(at(desk, CID), order.id, asked(version.id, target="200 g"))
    with pytest.raises(Forbidden) as caught:
        make_order(at(desk, CID), order.id)
    assert refused(caught) == "orders.block.changed_since"


def test_a_changed_name_is_written_to_the_same_identity(desk: Desk, version: Version) -> None:
    order = an_order(desk, version)
    told = PatientDetails(age_months=30, told_on=date(2026, 3, 10), no_allergies=True)
    change_order(at(desk, CID), order.id, asked(version.id, patient="Quentin Zimmt", details=told))
    looked = view_patient(at(desk, CID), order.id)
    assert (looked.patient, looked.details) == ("Quentin Zimmt", told)
    assert order_with(desk.store, order.id).patient_id == order.patient_id


def test_a_change_without_a_name_leaves_the_one_there_is(desk: Desk, version: Version) -> None:
    order = an_order(desk, version)
    same = asked(version.id, patient="", details=None, prescriber="", treatment_days=20)
    changed = change_order(at(desk, CID), order.id, same)
    assert (changed.patient_id, changed.treatment_days) == (order.patient_id, 20)
    assert view_patient(at(desk, CID), order.id).patient == PATIENT


def test_two_desks_can_t_both_sign_over_each_other(desk: Desk, version: Version) -> None:
    order = an_order(desk, version)
    change_order(at(desk, CID), order.id, asked(version.id, target="200 g"))
    with pytest.raises(Conflict), desk.writing("change_order") as writing:
        writing.put(replace(order, target="300 g"))


# Queries


def test_a_query_goes_to_the_prescriber_and_shows_the_name(desk: Desk, version: Version) -> None:
    order = an_order(desk, version)
    ask_prescriber(at(desk, CID), order.id, "Is 10 % meant?")
    (waiting,) = orders_in(desk.store, OrderState.RECEIVED)
    assert waiting.standing is Standing.WAITING
    assert waiting.order.queries[0].to_whom == PRESCRIBER
    assert PRESCRIBER not in str(to_plain(order_with(desk.store, order.id)))


def test_an_open_query_keeps_an_order_from_being_made(desk: Desk, version: Version) -> None:
    order = ask_prescriber(at(desk, CID), checked(desk, an_order(desk, version)).id, "10 %?")
    with pytest.raises(Forbidden) as caught:
        make_order(at(desk, CID), order.id)
    assert refused(caught) == "orders.block.query"
    answered = answer_query(at(desk, CID), order.id, order.queries[0].id, "Yes.", "Ms Zander")
    assert seen(desk.store, answered).order.queries[0].answered_by == "Ms Zander"
    assert make_order(at(desk, CID), order.id).stage is Stage.PLANNED


def test_a_query_is_taken_back_with_a_reason(desk: Desk, version: Version) -> None:
    order = ask_prescriber(at(desk, CID), an_order(desk, version).id, "10 %?")
    query = order.queries[0].id
    with pytest.raises(Refusal):
        take_back_query(at(desk, CID), order.id, query, " ")
    take_back_query(at(desk, CID), order.id, query, "It stood on the back.")
    assert orders_in(desk.store, OrderState.RECEIVED)[0].standing is Standing.TO_CHECK


# The check


def test_a_pharmacist_signs_the_check_with_the_pin(desk: Desk, version: Version) -> None:
    order = checked(desk, an_order(desk, version))
    signature = order.checks[0].signature
    assert (signature.person, signature.meaning.value) == (BEN.name, "checked")
    assert seen(desk.store, order).blocks == ()
    assert seen(desk.store, order).standing is Standing.READY
    with pytest.raises(Forbidden):
        sign_plausibility(at(desk, CID), order.id, ALL_OK, PIN)
    with pytest.raises(Forbidden):
        sign_plausibility(at(desk, BEN), order.id, ALL_OK, "0000")


def test_an_undecided_doubt_keeps_an_order_from_being_made(desk: Desk, version: Version) -> None:
    order = an_order(desk, version)
    checked(desk, order, Judged(Item.DOSE, Opinion.DOUBTFUL, "Twice the usual dose"))
    with pytest.raises(Forbidden) as caught:
        make_order(at(desk, CID), order.id)
    assert refused(caught) == "orders.block.undecided"
    decided = Judged(Item.DOSE, Opinion.DOUBTFUL, "Twice the usual dose", "The clinic's protocol")
    checked(desk, order_with(desk.store, order.id), decided)
    assert make_order(at(desk, CID), order.id).order_id == order.id


# One-offs


def test_a_one_off_is_approved_by_the_signed_check(desk: Desk) -> None:
    order = a_one_off(desk)
    with pytest.raises(Forbidden):
        make_order(at(desk, CID), order.id)
    checked(desk, order)
    approved = desk.store.get(Version, order.version_id)
    assert approved is not None
    assert (approved.state, approved.approver_id) == (State.IN_USE, BEN.id)
    made = make_order(at(desk, CID), order.id)
    assert (made.code, made.order_id) == (order.number, order.id)


def test_a_one_off_whose_date_needs_it_colder_than_its_label_says_is_refused(desk: Desk) -> None:
    silent = replace(kept_well(a_content("One-off", "")), water=None)
    order = an_order(desk)
    with pytest.raises(Refusal) as caught:
        compose_one_off(at(desk, CID), order.id, silent)
    assert refused(caught) == "shelf_life.colder_than_kept"


def test_what_holds_water_is_not_composed_as_free_of_it(desk: Desk) -> None:
    content = kept_well(a_content("One-off", ""))
    (first, *rest) = content.lines
    watery = replace(content, lines=(replace(first, ingredient="Purified water"), *rest))
    order = an_order(desk)
    with pytest.raises(Refusal) as caught:
        compose_one_off(at(desk, CID), order.id, watery)
    assert refused(caught) == "orders.holds_water"


def test_the_label_of_a_one_off_states_its_actives_with_their_quantities(desk: Desk) -> None:
    order = checked(desk, a_one_off(desk))
    made = make_order(at(desk, CID), order.id)
    content = label_contents(desk, made)[0]
    version = desk.store.get(Version, order.version_id)
    assert version is not None
    actives = [line.ingredient for line in version.content.lines if line.role is Role.ACTIVE]
    assert content.composition is not None
    assert [each.name for each in content.composition.parts] == actives
    assert all(each.amount is not None for each in content.composition.parts)


def test_a_doubtful_one_off_stays_a_draft(desk: Desk) -> None:
    order = a_one_off(desk)
    checked(desk, order, Judged(Item.ROUTE, Opinion.DOUBTFUL, "On broken skin?"))
    draft = desk.store.get(Version, order.version_id)
    assert draft is not None
    assert draft.state is State.DRAFT


def test_nobody_else_can_make_a_one_off(desk: Desk) -> None:
    order = checked(desk, a_one_off(desk))
    with pytest.raises(Forbidden) as caught:
        start_preparation(at(desk, CID), order.version_id, Making("100 g"))
    assert refused(caught) == "verbs.one_off_of_another"
    with pytest.raises(Refusal) as caught_too:
        take_order(at(desk, CID), asked(order.version_id))
    assert refused(caught_too) == "verbs.one_off_of_another"


def test_a_one_off_isn_t_among_the_house_formulas(desk: Desk) -> None:
    checked(desk, a_one_off(desk))
    assert not [*desk.store.find_formulas(""), *desk.store.find_formulas("one-off")]


def test_no_other_door_changes_or_approves_a_one_off(desk: Desk) -> None:
    order = a_one_off(desk)
    version = desk.store.get(Version, order.version_id)
    assert version is not None
    doors: tuple[Callable[[], object], ...] = (
        lambda: put_in_use(at(desk, BEN), version.id, PIN),
        lambda: withdraw(at(desk, BEN), version.id, "No"),
        lambda: write_version(desk, version.content, formula_id=version.formula_id),
    )
    for door in doors:
        with pytest.raises(Forbidden) as caught:
            door()
        assert refused(caught) == "verbs.one_off_by_order"


def test_who_composed_it_checks_it_alone_with_a_reason_only(desk: Desk) -> None:
    order = compose_one_off(at(desk, BEN), an_order(desk).id, kept_well(a_content("One-off", "")))
    with pytest.raises(Forbidden) as caught:
        checked(desk, order)
    assert refused(caught) == "verbs.composer_checks"
    sign_plausibility(at(desk, BEN), order.id, ALL_OK, PIN, alone_because="Saturday")
    entry = desk.store.history(limit=1000)[-1]
    assert entry.act.reason == "Saturday"
    assert '"exemption":"alone"' in entry.details


def test_a_one_off_composed_again_is_checked_again(desk: Desk) -> None:
    order = checked(desk, a_one_off(desk))
    other = kept_well(a_content("One-off", "", "Urea"))
    again = compose_one_off(at(desk, CID), order.id, other)
    assert again.version_id != order.version_id
    with pytest.raises(Forbidden):
        make_order(at(desk, CID), order.id)
    checked(desk, again)
    first = desk.store.get(Version, order.version_id)
    assert first is not None
    assert first.state is State.WITHDRAWN
    assert make_order(at(desk, CID), order.id).version_number == 2


def test_a_one_off_says_how_it_is_kept_and_adds_up(desk: Desk) -> None:
    order = an_order(desk)
    without = replace(a_content("One-off", ""), shelf_life=None)
    with pytest.raises(Refusal) as caught:
        compose_one_off(at(desk, CID), order.id, without)
    assert refused(caught) == "verbs.keeping_needed"


# At the bench


def started(desk: Desk, version: Version, **more: object) -> tuple[Order, str]:
    """Return a checked order in work with its lot."""
    order = checked(desk, an_order(desk, version, **more))
    return order, make_order(at(desk, CID), order.id).lot


def test_an_order_in_work_isn_t_started_twice(desk: Desk, version: Version) -> None:
    order, _ = started(desk, version)
    assert seen(desk.store, order_with(desk.store, order.id)).standing is Standing.IN_WORK
    with pytest.raises(Refusal) as caught:
        make_order(at(desk, CID), order.id)
    assert refused(caught) == "orders.state_does_not_follow"


def test_missing_directions_block_the_label_and_not_the_making(
    desk: Desk, version: Version
) -> None:
    order, lot = started(desk, version, directions="")
    made = desk.store.preparation(lot)
    assert made is not None
    with pytest.raises(Forbidden) as caught:
        require_order_lets(desk.store, made, HandedOver(1, Recipient.PATIENT, order.patient_id))
    assert refused(caught) == "orders.block.no_directions"
    later = asked(version.id, patient="", details=None, prescriber="", directions="At night.")
    change_order(at(desk, CID), order.id, later)
    assert label_contents(desk, made)[0].directions == "At night."


def test_without_directions_nothing_by_mouth_is_begun(desk: Desk) -> None:
    syrup = replace(a_content(), route=Route.ORAL)
    with pytest.raises(Forbidden) as caught:
        started(desk, in_use(desk, syrup), directions="")
    assert refused(caught) == "orders.block.dose_unknown"


def test_in_work_only_directions_change(desk: Desk, version: Version) -> None:
    order, _ = started(desk, version)
    with pytest.raises(Refusal) as caught:
        change_order(at(desk, CID), order.id, asked(version.id, target="200 g"))
    assert refused(caught) == "orders.in_work"


def test_a_query_put_during_work_stops_the_weighing(desk: Desk) -> None:
    job = a_job(a_stocked_house(desk))
    order, job.lot = started(desk, job.version)
    job.cleared()
    asked_now = ask_prescriber(at(desk, CID), order.id, "10 %?")
    with pytest.raises(Forbidden) as caught:
        job.weighs_all()
    assert refused(caught) == "orders.block.query"
    answer_query(at(desk, CID), order.id, asked_now.queries[-1].id, "Yes.")
    job.weighs_all()


def test_an_order_ends_when_all_its_jars_are_handed_over(desk: Desk) -> None:
    job = a_job(a_stocked_house(desk))
    order, job.lot = started(desk, job.version)
    job.cleared().released()
    for jar in range(1, job.made.containers + 1):
        record(job.desk, job.lot, HandedOver(jar, Recipient.PATIENT, order.patient_id))
    assert order_with(desk.store, order.id).state is OrderState.HANDED_OVER


def test_another_patient_never_gets_what_was_made_for_one(desk: Desk, version: Version) -> None:
    _, lot = started(desk, version)
    made = desk.store.preparation(lot)
    assert made is not None
    with pytest.raises(Forbidden) as caught:
        require_order_lets(desk.store, made, HandedOver(1, Recipient.PATIENT, "x-other"))
    assert refused(caught) == "orders.another_patient"


def test_a_batch_given_up_puts_its_order_back(desk: Desk, version: Version) -> None:
    order, lot = started(desk, version)
    record(at(desk, ADA), lot, Cancelled("The base ran out"))
    back = order_with(desk.store, order.id)
    assert (back.state, back.reason) == (OrderState.RECEIVED, "The base ran out")
    assert make_order(at(desk, CID), order.id).lot != lot


def test_nothing_goes_on_for_a_cancelled_order(desk: Desk, version: Version) -> None:
    order, lot = started(desk, version)
    with pytest.raises(Refusal):
        cancel_order(at(desk, CID), order.id, "")
    cancel_order(at(desk, CID), order.id, "Patient in hospital")
    made = desk.store.preparation(lot)
    assert made is not None
    with pytest.raises(Forbidden) as caught:
        require_order_lets(desk.store, made, HandedOver(1, Recipient.PATIENT, order.patient_id))
    assert refused(caught) == "orders.block.cancelled"
    with pytest.raises(Refusal) as caught_too:
        ask_prescriber(at(desk, CID), order.id, "10 %?")
    assert refused(caught_too) == "orders.at_its_end"


def test_whom_it_is_for_is_said_at_the_order(desk: Desk, version: Version) -> None:
    _, lot = started(desk, version)
    with pytest.raises(Forbidden) as caught:
        address_preparation(at(desk, CID), lot, patient="Somebody else")
    assert refused(caught) == "verbs.addressed_by_order"


def test_an_order_for_stock_needs_no_check(desk: Desk) -> None:
    version = in_use(desk, kept_well(a_formula(active("Urea", "10 g"))))
    plain = {"patient": "", "details": None, "prescriber": "", "purpose": Purpose.STOCK}
    order = an_order(desk, version, target="10 g", **plain)
    assert make_order(at(desk, CID), order.id).patient_id == ""


def test_a_withdrawal_blocks_the_order_that_waits_for_it(desk: Desk, version: Version) -> None:
    order = checked(desk, an_order(desk, version))
    assert seen(desk.store, order).standing is Standing.READY
    withdraw(at(desk, BEN), version.id, "Holds peanut oil")
    found = seen(desk.store, order)
    assert [each.said.key for each in found.blocks] == ["orders.block.withdrawn"]
    assert found.standing is Standing.INCOMPLETE
    with pytest.raises(Forbidden):
        make_order(at(desk, CID), order.id)


def test_an_order_changed_at_another_desk_meanwhile_says_who_did_what(
    desk: Desk, version: Version
) -> None:
    order = an_order(desk, version)
    change_order(at(desk, ADA), order.id, asked(version.id, target="50 g"))
    seen_here = order.revision
    for act in (
        lambda: change_order(at(desk, CID), order.id, asked(version.id), seen=seen_here),
        lambda: cancel_order(at(desk, CID), order.id, "No", seen=seen_here),
        lambda: sign_plausibility(at(desk, BEN), order.id, ALL_OK, PIN, seen=seen_here),
        lambda: make_order(at(desk, CID), order.id, seen=seen_here),
    ):
        with pytest.raises(Conflict) as refused:
            act()
        said = refused.value.message
        assert said.key == "orders.changed_by"
        parameters = dict(said.parameters)
        assert parameters["by"] == ADA.name
        assert parameters["act"] == message("roles.verb.change_order")
    assert order_with(desk.store, order.id).target == "50 g"
