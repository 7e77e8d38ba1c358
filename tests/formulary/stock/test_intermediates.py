"""What was made here becomes stock by its release, with its own date and strength."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from fractions import Fraction

import pytest

from formulary.errors import Refusal
from formulary.preparation import Preparation
from formulary.quantity.amount import OneIn
from formulary.signing import Meaning
from formulary.stock.container import obstacle
from formulary.stock.intermediates import MadeHere, as_containers, as_lot
from formulary.stock.lot import Source, Status
from tests.formulary.stock.shelf import NOW, TODAY, grams, signed, text

TRITURATION = Preparation(
    id="made-7",
    lot="K26-00007",
    version_id="v",
    formula_id="f",
    code="TR1",
    title="Trituration 1 in 10",
    version_number=1,
    target="2 x 50 g",
    plan="{}",
    containers=2,
    fill=grams(50),
    made_on=date(2026, 5, 2),
    use_by=date(2026, 10, 31),
    started_at=NOW,
    started_by="Ben",
)
MADE = MadeHere(
    ingredient_id="trituration",
    strength=OneIn(Fraction(10), "w/w"),
    release=signed(Meaning.RELEASED),
    last_days=(date(2027, 1, 1),),
    maker="The house",
)


def test_a_released_preparation_becomes_an_accepted_lot_under_its_own_number() -> None:
    lot = as_lot("lot-7", TRITURATION, MADE)
    assert (lot.source, lot.status, lot.number) == (
        Source.INTERMEDIATE,
        Status.ACCEPTED,
        "K26-00007",
    )
    assert (lot.strength, lot.made_as, lot.decision) == (MADE.strength, "made-7", MADE.release)


def test_it_lasts_no_longer_than_itself_or_anything_in_it() -> None:
    assert as_lot("lot-7", TRITURATION, MADE).expiry.last_day == date(2026, 10, 31)
    short = replace(MADE, last_days=(date(2026, 8, 1), date(2027, 1, 1)))
    assert as_lot("lot-7", TRITURATION, short).expiry.last_day == date(2026, 8, 1)


def test_what_isnt_released_is_no_stock() -> None:
    with pytest.raises(Refusal) as refused:
        as_lot("lot-7", TRITURATION, replace(MADE, release=signed(Meaning.MADE)))
    assert "K26-00007" in text(refused.value)


def test_its_containers_are_numbered_and_can_be_weighed_from() -> None:
    lot = as_lot("lot-7", TRITURATION, MADE)
    jars = as_containers(lot, TRITURATION, ("a", "b"), 42)
    assert [each.number for each in jars] == ["B-00042-3", "B-00043-1"]
    assert {each.size for each in jars} == {grams(50)}
    assert [obstacle(each, lot, TODAY) for each in jars] == [None, None]


def test_each_container_has_an_id() -> None:
    with pytest.raises(ValueError, match="longer"):
        as_containers(as_lot("lot-7", TRITURATION, MADE), TRITURATION, ("a",), 42)
