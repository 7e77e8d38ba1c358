"""The container in hand: right for the line, or a stop whose sentence says what is wrong."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import Any

import pytest

from formulary.bench.scanning import (
    ContainerSeen,
    Seen,
    Source,
    Status,
    Wanted,
    require_right,
    seen,
)
from formulary.catalogue import Catalogue
from formulary.errors import Refusal
from tests.helpers.formulas import amount

TODAY = date(2026, 3, 10)
WANTED = Wanted("i-1", "Lidocaine", grade="hydrochloride monohydrate")
RIGHT = ContainerSeen(
    number="C-17",
    ingredient_id="i-1",
    ingredient="Lidocaine",
    grade="Hydrochloride  monohydrate",
    source_kind=Source.SUBSTANCE,
    strength="",
    status=Status.ACCEPTED,
    expiry=TODAY,
    opened_until=TODAY,
    on_hand=amount("50 g"),
)


def scanned(wanted: Wanted = WANTED, **other: Any) -> Seen:  # noqa: ANN401  of many types
    return seen(replace(RIGHT, **other), wanted, TODAY)


def test_the_right_container_is_right_to_its_last_day() -> None:
    assert scanned() == Seen((), ())
    require_right(scanned())


@pytest.mark.parametrize(
    ("other", "why"),
    [
        ({"ingredient_id": "i-2", "ingredient": "Tetracaine"}, "wrong_ingredient"),
        ({"grade": "base"}, "other_grade"),
        ({"grade": ""}, "other_grade"),
        ({"strength": "1 in 10"}, "other_strength"),
        ({"source_kind": Source.TABLET}, "other_source"),
        ({"status": Status.QUARANTINE}, "quarantine"),
        ({"status": Status.REJECTED}, "rejected"),
        ({"status": Status.RECALLED}, "recalled"),
        ({"status": Status.EMPTY}, "empty"),
        ({"expiry": date(2026, 3, 9)}, "expired"),
        ({"opened_until": date(2026, 3, 9)}, "opened_too_long"),
    ],
)
def test_a_wrong_container_is_a_hard_stop_with_its_sentence(
    other: dict[str, Any], why: str
) -> None:
    found = scanned(**other)
    assert [each.said.key for each in found.stops] == [f"bench.scanning.{why}"]
    assert not found.right
    assert "C-17" in Catalogue().text(found.stops[0].said)
    with pytest.raises(Refusal):
        require_right(found)


def test_a_concentrate_of_another_strength_is_a_stop() -> None:
    wanted = Wanted("i-1", "Lidocaine", source=Source.CONCENTRATE, strength="1 in 10")
    same = {"source_kind": Source.CONCENTRATE, "strength": "1 in 10"}
    assert scanned(wanted, **same).right
    assert not scanned(wanted, **(same | {"strength": "1 in 100"})).right


def test_all_that_is_wrong_is_said_at_once() -> None:
    found = scanned(grade="base", expiry=date(2026, 1, 31), status=Status.QUARANTINE)
    assert len(found.stops) == 3


def test_notes_inform_and_stop_nothing() -> None:
    wanted = replace(WANTED, look_alikes=("Tetracaine", "Prilocaine"))
    sealed = replace(RIGHT, opened_until=None, on_hand=amount("0 g"))
    found = seen(sealed, wanted, TODAY, other_open="C-16", typed=True)
    assert found.right
    assert [each.said.key.rpartition(".")[2] for each in found.notes] == [
        "look_alike",
        "other_open",
        "book_empty",
        "typed",
    ]
    for each in found.notes:
        assert Catalogue().text(each.said).endswith(".")
