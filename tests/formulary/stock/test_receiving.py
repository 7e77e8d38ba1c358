"""A delivery is recorded container by container, and what is odd about it is said at once."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from formulary.finding import Severity
from formulary.formula.content import Period, Span
from formulary.people import Person, Post
from formulary.stock.container import obstacle
from formulary.stock.expiry import Expiry
from formulary.stock.lot import SupplyLot
from formulary.stock.moves import book
from formulary.stock.receiving import arrivals, containers_of, doubts
from tests.formulary.stock.shelf import ACCEPTED, NOW, TODAY, grams, text

BEN = Person("ben", "Ben", Post.TECHNICIAN)
COMPLETE = replace(ACCEPTED, supplier="S", maker="M", grade="Ph. Eur.", place="shelf 2")
SIZES = (grams(500), grams(250))


def said(lot: SupplyLot, *others: SupplyLot) -> str:
    return " ".join(text(each.said) for each in doubts(lot, others))


def test_each_container_has_its_own_number_and_is_full() -> None:
    jars = containers_of(COMPLETE, SIZES, ("a", "b"), 42, Period(3, Span.MONTHS))
    assert [each.number for each in jars] == ["B-00042-3", "B-00043-1"]
    moves = arrivals(jars, ("m1", "m2"), NOW, BEN)
    assert [book([each], "g").on_hand for each in moves] == list(SIZES)
    assert [each.container_id for each in moves] == ["a", "b"]


def test_nothing_is_weighed_before_each_container_is_identified() -> None:
    jars = containers_of(COMPLETE, SIZES, ("a", "b"), 42)
    assert all("identified" in text(obstacle(each, COMPLETE, TODAY)) for each in jars)


def test_a_complete_receipt_raises_no_doubt() -> None:
    assert doubts(COMPLETE, (COMPLETE,)) == ()


@pytest.mark.parametrize("field", ["supplier", "maker", "grade", "place"])
def test_what_the_receipt_lacks_is_asked_for(field: str) -> None:
    lot = replace(COMPLETE, **{field: ""})  # type: ignore[arg-type]  # the names are the record's
    (finding,) = doubts(lot, ())
    assert finding.field == field
    assert "missing" in text(finding.said)


def test_goods_that_came_expired_are_pointed_out() -> None:
    late = replace(COMPLETE, expiry=Expiry(date(2026, 1, 11)))
    assert "11 Jan 2026" in said(late)
    assert said(replace(COMPLETE, expiry=Expiry(late.received_on))) == ""


def test_an_assigned_date_is_marked() -> None:
    assert "Ana set it" in said(
        replace(COMPLETE, expiry=Expiry(date(2027, 1, 11), assigned_by="Ana"))
    )


def test_a_second_delivery_of_a_lot_is_noted() -> None:
    again = replace(COMPLETE, id="lot-2", received_on=date(2026, 2, 1))
    (finding,) = doubts(again, (COMPLETE,))
    assert finding.severity is Severity.NOTE
    assert "12 Jan 2026" in text(finding.said)
    assert doubts(replace(again, ingredient_id="talc"), (COMPLETE,)) == ()


def test_one_lot_with_two_dates_asks_for_a_reason() -> None:
    again = replace(COMPLETE, id="lot-2", expiry=Expiry(date(2028, 1, 1)))
    (finding,) = doubts(again, (COMPLETE,))
    assert (finding.severity, finding.field) == (Severity.REASON, "expiry")
    assert "31 Mar 2027" in text(finding.said)
