"""What an order lacks blocks the right step, with a sentence."""

from __future__ import annotations

from dataclasses import replace

import pytest

from formulary.errors import Forbidden
from formulary.formula.content import Route
from formulary.orders import queries
from formulary.orders.blocking import Step, blocks, require_clear
from formulary.orders.order import Order, OrderState, Purpose
from formulary.orders.plausibility import Item, Judged, Opinion
from tests.formulary.orders.cases import (
    HASH,
    NINE,
    TEN,
    a_query,
    an_order,
    blocking,
    checked,
    text,
)

READY = checked(an_order())


def test_a_complete_and_checked_order_is_blocked_nowhere() -> None:
    assert blocks(READY, Route.SKIN, HASH) == ()
    require_clear(READY, Step.WEIGH, Route.SKIN, HASH)


def test_missing_directions_block_the_label_and_not_weighing_on_the_skin() -> None:
    order = checked(an_order(directions=" "))
    assert blocking(Step.WEIGH, order) == []
    assert blocking(Step.LABEL, order) == ["no_directions"]
    assert blocking(Step.HAND_OVER, order) == ["no_directions"]


@pytest.mark.parametrize("route", [Route.ORAL, Route.RECTAL])
def test_without_directions_a_dose_that_cant_be_judged_blocks_weighing(route: Route) -> None:
    order = checked(an_order(directions=""))
    assert blocking(Step.WEIGH, order, route) == ["dose_unknown"]
    assert blocking(Step.LABEL, order, route) == ["dose_unknown"]


@pytest.mark.parametrize("step", Step)
def test_an_open_query_blocks_every_step_until_its_answer(step: Step) -> None:
    asked = replace(READY, queries=queries.ask((), a_query()))
    assert blocking(step, asked) == ["query"]
    answered = queries.answer(asked.queries, "q-1", "Yes", "Dr. Berg", TEN, "p-2")
    assert blocking(step, replace(asked, queries=answered)) == []


def test_an_order_without_its_check_isnt_weighed() -> None:
    with pytest.raises(Forbidden) as refused:
        require_clear(an_order(), Step.WEIGH, Route.SKIN, HASH)
    assert "pharmacist" in text(refused.value.message)


def test_a_doubt_blocks_until_it_is_decided() -> None:
    doubt = Judged(Item.DOSE, Opinion.DOUBTFUL, "ten times the usual")
    assert blocking(Step.WEIGH, checked(an_order(), doubt)) == ["undecided"]
    decided = replace(doubt, decision="Prescriber confirms, see query")
    assert blocking(Step.WEIGH, checked(an_order(), decided)) == []


@pytest.mark.parametrize(
    "changed",
    [
        replace(READY, directions="Thickly."),
        replace(READY, target="200 g"),
        replace(READY, treatment_days=90),
        replace(READY, patient_id="i-2"),
        replace(READY, version_id="v-2"),
    ],
)
def test_what_was_changed_after_its_check_is_checked_again(changed: Order) -> None:
    assert blocking(Step.WEIGH, changed) == ["changed_since"]
    assert blocking(Step.WEIGH, checked(changed)) == []


def test_a_draft_written_again_after_its_check_is_checked_again() -> None:
    (block,) = blocks(READY, Route.SKIN, "another hash")
    assert block.said.key == "orders.block.changed_since"


def test_stock_needs_neither_patient_nor_directions_nor_check() -> None:
    order = an_order(purpose=Purpose.STOCK, patient_id="", directions="")
    assert [blocking(step, order, Route.ORAL) for step in Step] == [[], [], []]


def test_a_ward_must_be_known_before_its_label() -> None:
    order = an_order(purpose=Purpose.WARD, patient_id="")
    assert blocking(Step.WEIGH, order) == []
    assert blocking(Step.LABEL, order) == ["no_ward"]
    assert blocking(Step.LABEL, replace(order, ward="3 B")) == []


def test_what_is_missing_is_said_all_at_once() -> None:
    order = an_order(patient_id="", version_id="", target="")
    assert blocking(Step.WEIGH, order) == ["no_formula", "no_target", "no_patient", "unchecked"]


def test_a_cancelled_order_is_blocked_for_good() -> None:
    order = replace(READY, state=OrderState.CANCELLED, reason="patient died")
    (block,) = blocks(order, Route.SKIN, HASH)
    assert "patient died" in text(block.said)


def test_every_sentence_can_be_said() -> None:
    order = an_order(patient_id="", version_id="", target="", directions="")
    asked = replace(order, queries=queries.ask((), a_query(asked_at=NINE)))
    for route in (Route.SKIN, Route.ORAL):
        assert all(text(block.said) for block in blocks(asked, route, HASH))
