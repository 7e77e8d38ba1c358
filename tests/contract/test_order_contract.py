"""What every store keeps to about orders: in memory, on SQLite and on PostgreSQL."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from formulary.errors import Conflict, Forbidden, NotFound
from formulary.formula.version import Version
from formulary.orders.order import Order, OrderState, Purpose, moved_to
from formulary.orders.queries import Query, answer, ask
from formulary.people import Identity, Part
from formulary.preparation import Preparation
from formulary.store import Store, Writing
from tests.formulary.orders.cases import checked
from tests.helpers.kept import ACT, NOW, a_content, a_preparation, a_version, keep_formula
from tests.helpers.ordered import DETAILS

ASKED = Query("q-1", "Is 10 % meant?", "x-2", NOW, "p-1")


def an_order(record_id: str = "o-1", number: str = "ORD26-0001") -> Order:
    """Return an order for a patient."""
    return Order(record_id, Purpose.PATIENT, NOW, "p-1", number, patient_id="x-1", version_id="v")


def put(store: Store, record: Order) -> Order:
    """Keep an order."""
    with store.writing(ACT, "keep") as transaction:
        return transaction.put(record)


def _allot_in_vain(store: Store) -> None:
    """Begin what comes to nothing after a number was allotted."""
    with store.writing(ACT, "keep") as transaction:
        assert transaction.allot_order(2026) == "ORD26-0001"
        transaction.remove(Identity, "x-nobody")


def test_an_order_comes_back_as_it_was_put(store: Store) -> None:
    whole = checked(replace(an_order(), queries=ask((), ASKED), directions="At night."))
    kept = put(store, whole)
    assert kept == replace(whole, revision=1) == store.get(Order, "o-1")


def test_an_order_is_found_by_its_number_and_its_state(store: Store) -> None:
    first, other = put(store, an_order()), put(store, an_order("o-2", "ORD26-0002"))
    put(store, moved_to(other, OrderState.IN_WORK))
    assert list(store.having(Order, number="ORD26-0001")) == [first]
    assert [each.id for each in store.having(Order, state=OrderState.IN_WORK.value)] == ["o-2"]


def test_a_number_is_given_to_one_order(store: Store) -> None:
    put(store, an_order())
    with pytest.raises(Conflict):
        put(store, an_order("o-2"))


def _given_and_undone(transaction: Writing) -> None:
    assert transaction.allot_order(2026) == "ORD26-0001"
    transaction.remove(Identity, "x-nobody")


def test_order_numbers_run_within_a_year_and_only_when_kept(store: Store) -> None:
    with pytest.raises(NotFound), store.writing(ACT, "keep") as transaction:
        _given_and_undone(transaction)
    with store.writing(ACT, "keep") as transaction:
        numbers = [transaction.allot_order(year) for year in (2026, 2026, 2027)]
    assert numbers == ["ORD26-0001", "ORD26-0002", "ORD27-0001"]


@pytest.mark.parametrize(
    "change",
    [
        {"number": "ORD26-0009"},
        {"purpose": Purpose.STOCK, "patient_id": ""},
        {"received_by": "p-2"},
        {"checks": ()},
        {"queries": ()},
        {"state": OrderState.HANDED_OVER},
    ],
)
def test_what_was_received_asked_and_signed_stays(store: Store, change: dict[str, Any]) -> None:
    kept = put(store, checked(replace(an_order(), queries=ask((), ASKED))))
    with pytest.raises(Forbidden):
        put(store, replace(kept, **change))


def test_an_answer_stays_as_it_was_first_noted(store: Store) -> None:
    kept = put(store, replace(an_order(), queries=ask((), ASKED)))
    given = answer(kept.queries, "q-1", "Yes.", "x-2", NOW, "p-1")
    answered = put(store, replace(kept, queries=given))
    other = (replace(given[0], answer="No."),)
    with pytest.raises(Forbidden):
        put(store, replace(answered, queries=other))


def test_an_order_at_its_end_stays(store: Store) -> None:
    ended = put(store, moved_to(put(store, an_order()), OrderState.CANCELLED, "Not needed"))
    with pytest.raises(Forbidden):
        put(store, replace(ended, target="100 g"))


def test_what_is_known_of_a_patient_goes_with_the_name(store: Store) -> None:
    with store.writing(ACT, "keep") as transaction:
        kept = transaction.put(Identity("x-1", Part.PATIENT, "Quentin Zimt", DETAILS))
    assert store.get(Identity, "x-1") == kept
    with store.writing(ACT, "erase") as transaction:
        transaction.remove(Identity, "x-1")
    assert store.get(Identity, "x-1") is None
    assert not any("Wool fat" in each.details for each in store.history())


def test_a_one_off_comes_back_with_its_order_and_keeps_it(store: Store) -> None:
    put(store, an_order())
    keep_formula(store, a_content(), "f-2")
    with store.writing(ACT, "keep") as transaction:
        draft = transaction.put(replace(a_version(formula_id="f-2", number=2), order_id="o-1"))
    assert store.get(Version, draft.id) == draft
    with pytest.raises(Forbidden), store.writing(ACT, "keep") as transaction:
        transaction.put(replace(draft, order_id=""))


def test_a_preparation_is_found_by_its_order(store: Store) -> None:
    keep_formula(store, a_content())
    with pytest.raises(NotFound), store.writing(ACT, "start") as transaction:
        transaction.put(replace(a_preparation(), order_id="o-1"))
    put(store, an_order())
    with store.writing(ACT, "start") as transaction:
        made = transaction.put(replace(a_preparation(), order_id="o-1"))
    assert list(store.having(Preparation, order_id="o-1")) == [made]
