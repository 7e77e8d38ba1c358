"""A calculation is kept with what it was done for."""

from __future__ import annotations

import json

import pytest

from formulary.desk import Desk
from formulary.errors import NotFound, Refusal
from formulary.kept_calculation import KeptCalculation
from formulary.verbs.keep_calculation import keep_calculation, kept_with
from formulary.verbs.start_preparation import Order, start_preparation
from tests.helpers.desks import in_use

GIVEN = {"stock_strength": "10 %", "target_strength": "2 %", "target": "100 mL", "stock": ""}


def test_it_is_kept_with_the_formula_of_a_code(desk: Desk) -> None:
    version = in_use(desk)
    kept = keep_calculation(desk, "dilution", GIVEN, version.content.code, " for the ward ")
    assert kept_with(desk.store, version.formula_id) == (kept,)
    assert (kept.note, kept.kept_by) == ("for the ward", desk.person.name)
    assert "stock" not in dict(kept.given)
    (stock, *_) = json.loads(kept.answer)["results"]
    assert (stock["amount"], stock["unit"]) == ("20", "mL")


def test_a_lot_is_meant_before_a_formula(desk: Desk) -> None:
    made = start_preparation(desk, in_use(desk).id, Order("100 g"))
    keep_calculation(desk, "dilution", GIVEN, made.lot)
    assert [each.calculation for each in kept_with(desk.store, made.id)] == ["dilution"]


def test_the_history_tells_that_it_was_kept_and_not_what_it_said(desk: Desk) -> None:
    keep_calculation(desk, "dilution", GIVEN, in_use(desk).content.code, "for Quentin")
    last = list(desk.store.history(0, 100))[-1]
    assert last.verb == "keep_calculation"
    assert "Quentin" not in last.details


@pytest.mark.parametrize(
    ("given", "subject", "error"),
    [
        (GIVEN, "zeppelin", NotFound),
        (GIVEN | {"target_strength": "20 %"}, "ZC", Refusal),
    ],
)
def test_what_has_no_answer_or_no_place_is_not_kept(
    desk: Desk, given: dict[str, str], subject: str, error: type[Exception]
) -> None:
    in_use(desk)
    with pytest.raises(error):
        keep_calculation(desk, "dilution", given, subject)
    assert list(desk.store.every(KeptCalculation)) == []
