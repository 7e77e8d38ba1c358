"""An order that can't be meant is refused; a patient's age is counted in whole months."""

from __future__ import annotations

from datetime import date, datetime
from fractions import Fraction
from typing import Any

import pytest

from formulary import canonical
from formulary.errors import Refusal
from formulary.orders.order import NEXT, Order, OrderState, Purpose, moved_to
from formulary.patient import PatientDetails
from formulary.quantity.amount import Amount
from tests.formulary.orders.cases import a_query, an_order, checked, text


@pytest.mark.parametrize(
    "wrong",
    [
        {"purpose": Purpose.STOCK},
        {"ward": "3 B"},
        {"purpose": Purpose.WARD, "patient_id": "", "one_off": True},
        {"treatment_days": 0},
    ],
)
def test_an_order_that_contradicts_itself_is_refused(wrong: dict[str, Any]) -> None:
    with pytest.raises(Refusal) as refused:
        an_order(**wrong)
    assert text(refused.value.message)


def test_an_order_knows_when_it_came() -> None:
    with pytest.raises(ValueError, match="offset"):
        Order("o-1", Purpose.STOCK, datetime(2026, 3, 2), "p-1")  # noqa: DTZ001  that is refused


def test_an_order_goes_into_work_and_out_once() -> None:
    done = moved_to(moved_to(an_order(), OrderState.IN_WORK), OrderState.HANDED_OVER)
    for state in OrderState:
        with pytest.raises(Refusal):
            moved_to(done, state, "reason")


def test_cancelling_and_putting_back_need_a_reason() -> None:
    with pytest.raises(Refusal, match="reason_missing"):
        moved_to(an_order(), OrderState.CANCELLED)
    begun = moved_to(an_order(), OrderState.IN_WORK)
    assert moved_to(begun, OrderState.RECEIVED, " discarded ").reason == "discarded"


def test_every_state_has_its_next_and_its_word() -> None:
    assert set(NEXT) == set(OrderState)
    with pytest.raises(Refusal) as refused:
        moved_to(an_order(), OrderState.HANDED_OVER)
    assert text(refused.value.message).startswith("This order is received")


@pytest.mark.parametrize(
    ("day", "months"),
    [
        (date(2024, 2, 28), 0),
        (date(2024, 2, 29), 1),
        (date(2025, 1, 28), 11),
        (date(2025, 1, 29), 12),
    ],
)
def test_an_age_is_counted_in_whole_months(day: date, months: int) -> None:
    assert PatientDetails(born=date(2024, 1, 29)).months_old(day) == months


def test_an_age_as_told_grows_from_the_day_it_was_told() -> None:
    told = PatientDetails(age_months=30, told_on=date(2026, 1, 10))
    assert told.months_old(date(2026, 4, 9)) == 32
    assert told.months_old(date(2025, 4, 9)) == 30
    assert PatientDetails().months_old(date(2026, 4, 9)) is None


@pytest.mark.parametrize(
    "wrong",
    [
        {"weight": Amount(Fraction(0), "kg")},
        {"weight": Amount(Fraction(70), "L")},
        {"age_months": 30},
        {"age_months": -1, "told_on": date(2026, 1, 10)},
        {"allergies": ("wool fat",), "no_allergies": True},
    ],
)
def test_details_that_cant_be_are_refused(wrong: dict[str, Any]) -> None:
    with pytest.raises(Refusal) as refused:
        PatientDetails(**wrong)
    assert text(refused.value.message)


def test_nobody_is_treated_before_the_birth() -> None:
    with pytest.raises(Refusal, match="unborn"):
        PatientDetails(born=date(2026, 1, 1)).months_old(date(2025, 12, 31))


def test_an_order_is_kept_whole_and_read_back() -> None:
    order = checked(
        an_order(queries=(a_query(),), prescribed=Amount(Fraction(100), "g"), one_off=True)
    )
    written = canonical.canonical_text(order, "order")
    assert canonical.from_canonical_text(Order, written) == order
    details = PatientDetails(born=date(2020, 1, 1), weight=Amount(Fraction(21), "kg"))
    assert (
        canonical.from_canonical_text(PatientDetails, canonical.canonical_text(details, "details"))
        == details
    )
