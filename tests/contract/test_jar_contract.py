"""What every store keeps to about filled jars and acts done alone."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime

import pytest

from formulary.bench.kept import AloneAct, BenchJob, FilledJar, Place
from formulary.errors import NotFound
from formulary.store import Store
from tests.contract.test_store_contract import put
from tests.helpers.formulas import a_formula, a_line, amount, scaled

NOON = datetime(2026, 3, 10, 12, tzinfo=UTC)
JOB = BenchJob("m-1", scaled(a_formula(a_line("Wax", "10 g")), "10 g"), 2, "bench 1")
JARS = tuple(FilledJar(f"K26-00001/{n}", "m-1", Place.SHELF, amount("5 g")) for n in (1, 2))
ALONE = AloneAct("m-1/00002", "K26-00001", 2, "p-ada", NOON)


def test_jars_are_found_by_their_preparation_and_change_hands(store: Store) -> None:
    put(store, JOB)
    first, second = (put(store, each) for each in JARS)
    gone = put(
        store,
        replace(first, place=Place.WARD, recipient_id="Ward 3", given_at=NOON),
    )
    assert list(store.having(FilledJar, preparation_id="m-1")) == [gone, second]
    names = ("id", "place", "recipient_id")
    assert sorted(store.columns(FilledJar, names, "preparation_id", ["m-1"])) == [
        ("K26-00001/1", "ward", "Ward 3"),
        ("K26-00001/2", "shelf", ""),
    ]


def test_a_jar_belongs_to_work_at_the_bench(store: Store) -> None:
    with pytest.raises(NotFound):
        put(store, JARS[0])


def test_an_act_alone_is_found_by_whom_it_waits_for_until_that_is_done(store: Store) -> None:
    waiting = put(store, ALONE)
    assert list(store.having(AloneAct, waits_for="p-ada")) == [waiting]
    put(store, replace(waiting, waits_for=""))
    assert list(store.having(AloneAct, waits_for="p-ada")) == []
