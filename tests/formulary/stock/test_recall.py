"""A recall freezes what a lot reached and isn't over before everybody is reached."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest

from formulary.canonical import from_plain, to_plain
from formulary.errors import Refusal
from formulary.signing import Meaning
from formulary.stock.recall import (
    Attempt,
    Contact,
    Outcome,
    Recall,
    begin,
    called,
    close,
    jars_back,
    jars_named,
    numbered,
    reach_of,
    still_to_call,
    time_taken,
)
from formulary.tracing import Link, Node, Sort, Way, among, trace
from tests.formulary.stock.shelf import ACCEPTED, NOW, signed, text

LOT, JAR = Node(Sort.LOT, "lot-1"), Node(Sort.CONTAINER, "jar-1")
WEIGHINGS = (Node(Sort.WEIGHING, "w1"), Node(Sort.WEIGHING, "w2"))
DONE, OPEN = Node(Sort.PREPARATION, "done"), Node(Sort.PREPARATION, "open")
GIVEN, ALSO, SHELF = (Node(Sort.JAR, name) for name in ("given", "also", "shelf"))
PATIENT, WARD = Node(Sort.PATIENT, "p-17"), Node(Sort.WARD, "ward 3")
LINKS = [
    Link(LOT, JAR),
    *(Link(JAR, weighing) for weighing in WEIGHINGS),
    Link(WEIGHINGS[0], DONE),
    Link(WEIGHINGS[1], OPEN),
    Link(DONE, GIVEN),
    Link(DONE, ALSO),
    Link(DONE, SHELF),
    Link(GIVEN, PATIENT),
    Link(ALSO, WARD),
]
FOUND = trace([LOT], Way.FORWARD, among(LINKS, Way.FORWARD))
DECIDED = signed(Meaning.DECIDED)


def attempt(outcome: Outcome, back: int = 0) -> Attempt:
    return Attempt(NOW, "ben", "Ben", outcome, back)


@pytest.fixture
def recall() -> Recall:
    return begin("recall-1", FOUND, {"open"}, DECIDED, "supplier’s letter")


def test_containers_open_work_what_was_made_and_shelf_jars_freeze(recall: Recall) -> None:
    reach = recall.reach
    assert (reach.lots, reach.containers) == (("lot-1",), ("jar-1",))
    assert (reach.open_work, reach.made, reach.shelf_jars) == (("open",), ("done",), ("shelf",))


def test_everybody_who_got_a_jar_is_to_be_called(recall: Recall) -> None:
    assert [(each.recipient_id, each.is_ward, each.jar_ids) for each in recall.contacts] == [
        ("p-17", False, ("given",)),
        ("ward 3", True, ("also",)),
    ]
    assert still_to_call(recall) == recall.contacts


def test_who_didnt_answer_stays_on_the_list(recall: Recall) -> None:
    tried = called(recall, "p-17", attempt(Outcome.NO_ANSWER))
    assert len(still_to_call(tried)) == 2
    reached = called(tried, "p-17", attempt(Outcome.RETURNED, 1))
    assert [each.recipient_id for each in still_to_call(reached)] == ["ward 3"]
    assert len(reached.contacts[0].attempts) == 2
    assert jars_back(reached) == (1, 2)


def test_jars_that_came_back_are_named_and_none_twice_or_of_others(recall: Recall) -> None:
    back = called(recall, "p-17", replace(attempt(Outcome.RETURNED), jars=("given",)))
    assert back.contacts[0].back == ("given",)
    assert jars_back(back) == (1, 2)
    for jar, key in (("given", "back_already"), ("also", "not_theirs"), ("none", "not_theirs")):
        with pytest.raises(Refusal, match=key):
            called(back, "p-17", replace(attempt(Outcome.RETURNED), jars=(jar,)))


def test_jars_are_named_singly_or_by_their_lot() -> None:
    jars = ("K26-00001/1", "K26-00001/2", "K26-00007/1")
    contact = Contact("p-17", is_ward=False, jar_ids=jars)
    assert jars_named(contact, "k26-00001/2, K26-00001/2") == ("K26-00001/2",)
    assert jars_named(contact, "K26-00001 K26-00007/1") == jars
    assert jars_named(contact, "K26-00009/1") == ("K26-00009/1",)
    assert jars_named(contact, " ") == ()


def test_a_recall_closes_when_everybody_is_reached(recall: Recall) -> None:
    with pytest.raises(Refusal) as refused:
        close(recall, DECIDED, "both jars came back")
    assert text(refused.value).startswith("2 patients or wards")
    for contact in recall.contacts:
        recall = called(recall, contact.recipient_id, attempt(Outcome.RETURNED, 1))
    with pytest.raises(Refusal, match="no_finding"):
        close(recall, DECIDED, "")
    with pytest.raises(ValueError, match="signed"):
        close(recall, signed(Meaning.CHECKED), "both jars came back")
    later = replace(DECIDED, at=NOW + timedelta(hours=2))
    closed = close(recall, later, "both jars came back")
    assert time_taken(closed, NOW + timedelta(days=9)) == timedelta(hours=2)
    with pytest.raises(Refusal, match="closed"):
        called(closed, "p-17", attempt(Outcome.NO_ANSWER))


def test_a_practice_recall_is_marked_as_one() -> None:
    assert begin("recall-2", FOUND, (), DECIDED, "yearly practice", practice=True).practice


def test_an_open_recall_takes_as_long_as_it_has(recall: Recall) -> None:
    assert time_taken(recall, NOW + timedelta(minutes=40)) == timedelta(minutes=40)


def test_only_who_got_something_is_called(recall: Recall) -> None:
    with pytest.raises(ValueError, match="got nothing"):
        called(recall, "p-99", attempt(Outcome.REACHED))


def test_a_recall_is_a_signed_decision_with_a_reason() -> None:
    with pytest.raises(Refusal, match="reason"):
        begin("recall-1", FOUND, (), DECIDED, " ")
    with pytest.raises(ValueError, match="signed"):
        begin("recall-1", FOUND, (), signed(Meaning.CHECKED), "supplier’s letter")


def test_a_recall_follows_lots_forward() -> None:
    backward = trace([LOT], Way.BACKWARD, among(LINKS, Way.BACKWARD))
    with pytest.raises(ValueError, match="forward"):
        reach_of(backward, ())


def test_every_delivery_of_a_lot_is_found_by_the_number_on_the_letter() -> None:
    lots = (ACCEPTED, replace(ACCEPTED, id="lot-2"), replace(ACCEPTED, id="lot-3", number="ZN-47"))
    assert [lot.id for lot in numbered(lots, "zn 4711")] == ["lot-1", "lot-2"]
    assert numbered(lots, " ") == ()


def test_a_recall_is_kept_as_it_is(recall: Recall) -> None:
    tried = called(recall, "p-17", attempt(Outcome.NO_ANSWER))
    assert from_plain(Recall, to_plain(tried)) == tried
