"""What every store keeps to about complaints."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime

import pytest

from formulary.errors import Forbidden, NotFound
from formulary.register.complaint import Complaint, Nature, Teller, decide
from formulary.signing import Meaning
from formulary.store import Store
from tests.contract.test_store_contract import put
from tests.formulary.stock.shelf import signed
from tests.helpers.kept import ACT, a_content, a_preparation, keep_formula

TOLD = Complaint(
    "c-1",
    "m-1",
    datetime(2026, 3, 10, 9, tzinfo=UTC),
    Teller.WARD,
    Nature.REACTION,
    "A rash after the first night.",
    "Ada Berg",
    jar=2,
)


def kept(store: Store) -> Complaint:
    keep_formula(store, a_content())
    put(store, a_preparation())
    return put(store, TOLD)


def test_a_complaint_is_found_by_its_preparation(store: Store) -> None:
    first = kept(store)
    assert list(store.having(Complaint, preparation_id="m-1")) == [first]
    assert list(store.having(Complaint, preparation_id="m-2")) == []


def test_a_complaint_belongs_to_a_preparation(store: Store) -> None:
    with pytest.raises(NotFound):
        put(store, TOLD)


def test_only_its_decision_is_added_and_that_once(store: Store) -> None:
    first = kept(store)
    with pytest.raises(Forbidden):
        put(store, replace(first, what="Nothing happened."))
    decided = put(store, decide(first, signed(Meaning.DECIDED), "Patch test advised.", ""))
    assert store.get(Complaint, "c-1") == decided
    with pytest.raises(Forbidden):
        put(store, replace(decided, decision="Nothing."))


def test_complaints_are_never_removed(store: Store) -> None:
    kept(store)
    with pytest.raises(Forbidden), store.writing(ACT, "remove") as writing:
        writing.remove(Complaint, "c-1")
