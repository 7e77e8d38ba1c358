"""A patient's or prescriber's name stands in one table and nowhere else."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import sqlalchemy as sa
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from formulary.bench.stages import Stage
from formulary.drafts import Draft
from formulary.formula.version import State
from formulary.ids import new_id
from formulary.people import Identity, Part
from formulary.records.opening import open_store
from formulary.records.sql_store import SqlStore
from formulary.store import Store
from tests.helpers.kept import ACT, NOW, a_content, a_preparation, a_print, keep_formula


def everything_but_identities(store: SqlStore) -> str:
    """Return all that all other tables and views hold, the full-text index included, as text."""
    with store._engine.connect() as connection:
        names = sa.inspect(connection).get_table_names()
        assert "identity" in names
        rows = [
            connection.exec_driver_sql(f'SELECT * FROM "{name}"').all()  # noqa: S608  our names
            for name in names
            if name != "identity"
        ]
    return repr(rows)


def live_a_day(store: Store, name: str) -> None:
    """Do all that is done with a patient's preparation."""
    keep_formula(store, a_content(), state=State.IN_USE)
    with store.writing(ACT, "start") as transaction:
        patient = transaction.put(Identity(new_id(), Part.PATIENT, name))
        doctor = transaction.put(Identity(new_id(), Part.PRESCRIBER, name))
        made = replace(a_preparation(), patient_id=patient.id, prescriber_id=doctor.id)
        made = transaction.put(made)
    with store.writing(ACT, "print labels") as transaction:
        transaction.put(a_print())
        transaction.put(replace(made, stage=Stage.LABELLED))
        transaction.put(Draft("d-1", "p-1", "", "{}", NOW))
    with store.writing(ACT, "correct a name") as transaction:
        transaction.put(replace(patient, name=f"{name}-{name}"))


def test_a_patient_s_name_is_nowhere_else(sql_store: SqlStore) -> None:
    live_a_day(sql_store, "Quentin Zimtstern")
    kept = everything_but_identities(sql_store)
    assert "Zinc cream" in kept
    assert "Zimtstern" not in kept


@given(st.text("qxjwyk", min_size=8, max_size=12))
@settings(max_examples=10, suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_no_name_leaves_its_table(empty_file: Path, tmp_path: Path, name: str) -> None:
    copy = tmp_path / f"{new_id()}.db"
    copy.write_bytes(empty_file.read_bytes())
    store = open_store(copy)
    live_a_day(store, name)
    assert name not in everything_but_identities(store)
    store.close()


def test_an_erased_name_is_overwritten_in_the_file(sqlite_file: Path) -> None:
    store = open_store(sqlite_file)
    live_a_day(store, "Quentin Zimtstern")
    with store.writing(ACT, "erase") as transaction:
        for identity in transaction.every(Identity):
            transaction.remove(Identity, identity.id)
    store.close()
    assert b"Zimtstern" not in sqlite_file.read_bytes()


def test_what_was_made_outlives_the_name(sql_store: SqlStore) -> None:
    live_a_day(sql_store, "Quentin Zimtstern")
    made = sql_store.preparation("K26-00001")
    with sql_store.writing(ACT, "erase") as transaction:
        for identity in transaction.every(Identity):
            transaction.remove(Identity, identity.id)
    assert sql_store.preparation("K26-00001") == made
