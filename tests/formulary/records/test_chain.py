"""Whoever changes the past is found out."""

from __future__ import annotations

from typing import cast

import pytest
import sqlalchemy as sa
from sqlalchemy.exc import DBAPIError

from formulary.people import Identity, Part
from formulary.records.chain import verify_chain
from formulary.records.sql_store import SqlStore
from formulary.store import Store
from tests.helpers.kept import ACT

TAMPERING = [
    "UPDATE history SET reason = 'x' WHERE number = 3",
    "UPDATE history SET person = 'Somebody' WHERE number = 3",
    "UPDATE history SET details = '{}' WHERE number = 3",
    "UPDATE history SET at_utc = '2026-01-01T00:00:00.000000Z' WHERE number = 3",
    "UPDATE history SET offset_minutes = 0 WHERE number = 3",
    "UPDATE history SET previous = hash WHERE number = 3",
    "DELETE FROM history WHERE number = 3",
]
DISARMING = {
    "sqlite": ["DROP TRIGGER history_no_update", "DROP TRIGGER history_no_delete"],
    "postgresql": ["ALTER TABLE history DISABLE TRIGGER USER"],
}


def keep_five(store: Store) -> None:
    for _ in range(5):
        with store.writing(ACT, "look"):
            pass


def run(store: SqlStore, *statements: str) -> None:
    with store._engine.begin() as connection:
        for statement in statements:
            connection.exec_driver_sql(statement)


def test_a_history_that_nobody_touched_is_whole(sql_store: SqlStore) -> None:
    assert verify_chain(sql_store) is None
    keep_five(sql_store)
    assert verify_chain(sql_store) is None


@pytest.mark.parametrize("statement", TAMPERING)
def test_the_database_refuses_to_change_the_history(sql_store: SqlStore, statement: str) -> None:
    keep_five(sql_store)
    with pytest.raises(DBAPIError, match="never changed"):
        run(sql_store, statement)
    assert verify_chain(sql_store) is None


@pytest.mark.parametrize("statement", TAMPERING)
def test_a_change_past_the_database_s_guard_shows_at_its_entry(
    sql_store: SqlStore, statement: str
) -> None:
    keep_five(sql_store)
    run(sql_store, *DISARMING[sql_store._engine.dialect.name], statement)
    assert verify_chain(sql_store) == 3


def test_replacing_an_entry_is_refused_as_well(sqlite_store: SqlStore) -> None:
    keep_five(sqlite_store)
    with pytest.raises(DBAPIError, match="never changed"):
        run(sqlite_store, "INSERT OR REPLACE INTO history SELECT * FROM history WHERE number = 3")


def test_emptying_the_history_is_refused_as_well(postgres_store: SqlStore) -> None:
    with pytest.raises(DBAPIError, match="never changed"):
        run(postgres_store, "TRUNCATE history")


def test_a_change_is_found_in_a_long_history(memory_store: Store) -> None:
    for number in range(1100):
        with memory_store.writing(ACT, f"look {number}"):
            pass
    assert verify_chain(memory_store) is None


def test_erasing_an_identity_leaves_the_history_whole(sql_store: SqlStore) -> None:
    with sql_store.writing(ACT, "start") as transaction:
        transaction.put(Identity("x-1", Part.PATIENT, "Quentin Zimt"))
    with sql_store.writing(ACT, "erase") as transaction:
        transaction.remove(Identity, "x-1")
    assert verify_chain(sql_store) is None
    with sql_store._engine.connect() as connection:
        left = connection.execute(sa.text("SELECT count(*) FROM identity")).scalar()
    assert cast("int", left) == 0
