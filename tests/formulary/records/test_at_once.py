"""Many verbs in one transaction of the database: all of them land, or none."""

from __future__ import annotations

from threading import Event

import pytest

from formulary.formula.version import Formula
from formulary.records.sql_store import SqlStore
from tests.helpers.kept import ACT


def keep(store: SqlStore, number: int) -> None:
    """Keep a formula by a verb of its own."""
    with store.writing(ACT, f"verb {number}") as writing:
        writing.put(Formula(f"f-{number}", f"C{number}", f"Formula {number}"))


def test_each_verb_has_its_entry_and_sees_what_went_before(sql_store: SqlStore) -> None:
    with sql_store.at_once() as store:
        keep(store, 1)
        assert store.get(Formula, "f-1") is not None
        assert len(store.every(Formula)) == 1
        keep(store, 2)
        assert len(store.every(Formula)) == 2
    assert [each.verb for each in sql_store.history()] == ["verb 1", "verb 2"]
    assert len(sql_store.every(Formula)) == 2


def keep_and_fail(sql_store: SqlStore) -> None:
    """Fail after one verb."""
    with sql_store.at_once() as store:
        keep(store, 1)
        raise ZeroDivisionError


def test_a_failure_leaves_none_of_them(sql_store: SqlStore) -> None:
    with pytest.raises(ZeroDivisionError):
        keep_and_fail(sql_store)
    assert not sql_store.every(Formula)
    assert not sql_store.history()
    keep(sql_store, 3)
    assert len(sql_store.history()) == 1


def test_what_this_store_wrote_at_once_is_not_told_as_somebody_elses(sql_store: SqlStore) -> None:
    with sql_store.at_once() as store:
        keep(store, 1)
        keep(store, 2)
    stop = Event()
    told = sql_store.watch(stop, 0)
    assert not next(told)
    stop.set()
    assert [*told] == []
