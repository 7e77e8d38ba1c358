"""The program's role on a server can work, and can't change what happened."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import count

import pytest
import sqlalchemy as sa
from sqlalchemy.exc import ProgrammingError

from formulary.errors import NotFound, Refusal, StoreTrouble
from formulary.people import Identity, Part
from formulary.records.opening import open_store
from formulary.records.rights import grant
from formulary.records.sql_store import SqlStore
from formulary.records.verifying import verify
from tests.helpers.desks import a_desk, furnished
from tests.helpers.kept import ACT
from tests.helpers.stocked_bench import a_job, a_stocked_house

_numbers = count(1)


def as_owner(url: str, statement: str) -> None:
    engine = sa.create_engine(url)
    with engine.begin() as connection:
        connection.exec_driver_sql(statement)
    engine.dispose()


@pytest.fixture
def role(postgres_url: str) -> str:
    """Return a role that may nothing yet; roles belong to the whole server."""
    name = f"Bench {next(_numbers)}"
    as_owner(postgres_url, f'CREATE ROLE "{name}" LOGIN')
    return name


@pytest.fixture
def limited(postgres_url: str, role: str) -> Iterator[SqlStore]:
    """Open the formulary as that role, once it may work there."""
    grant(postgres_url, role)
    as_role = sa.make_url(postgres_url).set(username=role)
    store = open_store(as_role.render_as_string(hide_password=False))
    yield store
    store.close()


def test_the_role_can_do_the_whole_work(limited: SqlStore) -> None:
    job = a_job(a_stocked_house(a_desk(furnished(limited)))).started().cleared().released()
    with limited.writing(ACT, "erase") as writing:
        patient = writing.put(Identity("i-1", Part.PATIENT, "Quentin Zimt"))
        writing.keep_file(b"a certificate")
        writing.remove(Identity, patient.id)
    assert limited.preparation(job.lot) is not None
    assert limited.find_formulas("") != []
    assert verify(limited).good


@pytest.mark.parametrize(
    "statement",
    [
        "UPDATE history SET person = 'Nobody'",
        "DELETE FROM history",
        "TRUNCATE history",
        "ALTER TABLE history DISABLE TRIGGER ALL",
        "DROP TRIGGER history_no_change ON history",
        "SET session_replication_role = replica",
        "CREATE OR REPLACE FUNCTION history_stays() RETURNS trigger LANGUAGE sql AS ''",
        "DROP TABLE history",
        "UPDATE alembic_version SET version_num = '9999'",
    ],
)
def test_the_role_can_t_touch_what_happened(limited: SqlStore, statement: str) -> None:
    with limited.writing(ACT, "look"):
        pass
    with pytest.raises(ProgrammingError) as refused, limited._engine.begin() as connection:
        connection.exec_driver_sql(statement)
    assert getattr(refused.value.orig, "sqlstate", "") == "42501"
    assert verify(limited).good


def test_a_role_that_owns_the_tables_is_refused(postgres_url: str, role: str) -> None:
    with pytest.raises(Refusal):
        grant(postgres_url, "postgres")
    as_owner(postgres_url, f'ALTER TABLE history OWNER TO "{role}"')
    with pytest.raises(Refusal):
        grant(postgres_url, role)


def test_a_role_that_isn_t_there_is_said(postgres_url: str) -> None:
    with pytest.raises(NotFound):
        grant(postgres_url, "Nobody")


def test_who_does_not_own_the_tables_gives_nobody_rights(
    limited: SqlStore, postgres_url: str, role: str
) -> None:
    assert limited.every(Identity) == []
    as_role = sa.make_url(postgres_url).set(username=role).render_as_string(hide_password=False)
    with pytest.raises(Refusal) as refused:
        grant(as_role, role)
    assert refused.value.message.key == "store.rights.not_owner"


def test_a_role_without_rights_hears_which_command_gives_them(postgres_url: str, role: str) -> None:
    as_role = sa.make_url(postgres_url).set(username=role).render_as_string(hide_password=False)
    with pytest.raises(StoreTrouble) as told:
        open_store(as_role).every(Identity)
    assert told.value.message.key == "store.trouble.no_rights"
