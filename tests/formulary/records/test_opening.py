"""Opening what is kept, and being told why it can't be."""

from __future__ import annotations

import os
import sqlite3
import stat
import subprocess
import sys
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

import pytest

from formulary.errors import NotFound, StoreTrouble
from formulary.ingredient import Ingredient
from formulary.records import opening
from formulary.records.opening import open_store
from formulary.records.sql_store import SqlStore
from tests.helpers.kept import a_content, keep_formula

WANTED = {
    "journal_mode": "wal",
    "synchronous": 2,
    "foreign_keys": 1,
    "busy_timeout": 5000,
    "secure_delete": 1,
    "recursive_triggers": 1,
}


def key_of(where: Path | str, *, create: bool = False) -> str:
    with pytest.raises((StoreTrouble, NotFound)) as told:
        open_store(where, create=create)
    return told.value.message.key


def test_what_was_kept_is_there_when_opened_again(tmp_path: Path) -> None:
    store = open_store(tmp_path / "new.db", create=True)
    version = keep_formula(store, a_content())
    store.close()
    again = open_store(str(tmp_path / "new.db"))
    assert again.versions("f-1") == [version]
    again.close()


def test_a_new_file_is_its_owner_s_alone(tmp_path: Path) -> None:
    before = os.umask(0)
    try:
        store = open_store(tmp_path / "new.db", create=True)
    finally:
        os.umask(before)
    keep_formula(store, a_content())
    modes = {path.name: stat.S_IMODE(path.stat().st_mode) for path in tmp_path.glob("new.db*")}
    assert modes == {"new.db": 0o600, "new.db-shm": 0o600, "new.db-wal": 0o600}
    store.close()


def test_every_connection_is_set_up(sqlite_store: SqlStore) -> None:
    for _ in range(2):
        with sqlite_store._engine.connect() as connection:
            found = {name: connection.exec_driver_sql(f"PRAGMA {name}").scalar() for name in WANTED}
        assert found == WANTED
        sqlite_store.close()


def test_every_table_is_strict(sqlite_store: SqlStore) -> None:
    with sqlite_store._engine.connect() as connection:
        tables = connection.exec_driver_sql("PRAGMA table_list").mappings().all()
    ours = [each for each in tables if not each["name"].startswith(("sqlite_", "formula_words"))]
    assert {each["name"] for each in ours if not each["strict"]} == {"alembic_version"}


def test_a_missing_file_is_not_made(tmp_path: Path) -> None:
    assert key_of(tmp_path / "none.db") == "store.no_file"
    assert list(tmp_path.glob("none.db*")) == []


def test_a_file_can_t_be_made_where_there_is_no_folder(tmp_path: Path) -> None:
    assert key_of(tmp_path / "no" / "new.db", create=True) == "store.cannot_make"


def foreign_database(path: Path) -> None:
    with closing(sqlite3.connect(path)) as connection:
        connection.execute("CREATE TABLE thing (id)")


def newer_formulary(path: Path) -> None:
    open_store(path, create=True).close()
    with closing(sqlite3.connect(path)) as connection:
        connection.execute("UPDATE alembic_version SET version_num = '9999'")
        connection.commit()


@pytest.mark.parametrize(
    ("make", "key"),
    [
        (lambda path: path.write_text("Dear diary, " * 200), "store.trouble.not_a_formulary"),
        (lambda path: path.write_bytes(b""), "store.trouble.not_a_formulary"),
        (lambda path: path.mkdir(), "store.trouble.cannot_open"),
        (foreign_database, "store.trouble.not_a_formulary"),
        (newer_formulary, "store.from_newer_version"),
    ],
)
def test_what_is_no_formulary_of_ours_is_left_as_it_is(
    tmp_path: Path, make: Callable[[Path], object], key: str
) -> None:
    path = tmp_path / "x.db"
    make(path)
    before = path.read_bytes() if path.is_file() else None
    assert key_of(path) == key
    assert (path.read_bytes() if path.is_file() else None) == before


def test_another_program_s_database_isn_t_made_into_a_formulary(tmp_path: Path) -> None:
    foreign_database(tmp_path / "x.db")
    assert key_of(tmp_path / "x.db", create=True) == "store.trouble.not_a_formulary"


def test_an_empty_file_becomes_a_formulary_when_one_is_to_be_made(tmp_path: Path) -> None:
    (tmp_path / "x.db").touch()
    open_store(tmp_path / "x.db", create=True).close()
    open_store(tmp_path / "x.db").close()


def test_a_file_damaged_in_its_middle_is_said_to_be(sqlite_file: Path) -> None:
    store = open_store(sqlite_file)
    keep_formula(store, a_content())
    store.close()
    whole = bytearray(sqlite_file.read_bytes())
    whole[4096 : len(whole)] = b"\xff" * (len(whole) - 4096)
    sqlite_file.write_bytes(whole)
    assert key_of(sqlite_file) == "store.trouble.damaged"


def test_content_changed_behind_the_program_s_back_is_refused(sqlite_store: SqlStore) -> None:
    keep_formula(sqlite_store, a_content())
    with sqlite_store._engine.begin() as connection:
        connection.exec_driver_sql("UPDATE version SET content = replace(content, '5', '50')")
    with pytest.raises(StoreTrouble) as told:
        sqlite_store.versions("f-1")
    assert told.value.message.key == "store.content_damaged"


@pytest.mark.parametrize("url", ["mysql://x/y", "postgresql://x/y", "postgresql+psycopg://x:y/z"])
def test_an_address_that_isn_t_one_is_said_to_be(url: str) -> None:
    assert key_of(url) == "store.not_a_postgresql_url"


def test_a_server_that_isn_t_there_is_said_to_be(tmp_path: Path) -> None:
    url = f"postgresql+psycopg://ada:secret@/x?host={tmp_path}"
    with pytest.raises(StoreTrouble) as told:
        open_store(url)
    assert told.value.message.key == "store.trouble.cannot_reach"
    assert "secret" not in str(told.value.message)


def test_a_database_that_isn_t_on_the_server_is_said_to_be(postgres_server: str) -> None:
    assert key_of(postgres_server.format("nothing")) == "store.trouble.cannot_reach"


def test_an_empty_database_is_not_made_a_formulary_unasked(postgres_server: str) -> None:
    assert key_of(postgres_server.format("postgres")) == "store.trouble.not_a_formulary"


@pytest.mark.parametrize(
    ("name", "value"), [("OLDEST_SQLITE", (99, 0)), ("_has_fts5", lambda: False)]
)
def test_a_python_with_a_poor_sqlite_is_refused(
    sqlite_file: Path, monkeypatch: pytest.MonkeyPatch, name: str, value: object
) -> None:
    monkeypatch.setattr(opening, name, value)
    assert key_of(sqlite_file) == "store.old_sqlite"


def test_opening_day_by_day_loads_no_migrations(sqlite_file: Path) -> None:
    program = (
        "import sys; from formulary.records.opening import open_store; "
        f"open_store({str(sqlite_file)!r}).find_formulas(''); "
        "assert 'sqlalchemy' in sys.modules; assert 'alembic' not in sys.modules; "
        "assert 'pint' not in sys.modules; assert 'psycopg' not in sys.modules"
    )
    subprocess.run([sys.executable, "-c", program], check=True)


def test_the_package_alone_loads_no_database() -> None:
    program = (
        "import sys; import formulary.records, formulary.canonical; "
        "assert 'sqlalchemy' not in sys.modules"
    )
    subprocess.run([sys.executable, "-c", program], check=True)


def test_a_foreign_key_is_enforced(sqlite_store: SqlStore) -> None:
    from sqlalchemy.exc import IntegrityError

    with pytest.raises(IntegrityError), sqlite_store._engine.begin() as connection:
        connection.exec_driver_sql(
            "INSERT INTO version_line VALUES ('v',1,'x','x','','','',0,'',0)"
        )


def test_a_store_can_be_closed_and_asked_again(sqlite_store: SqlStore) -> None:
    sqlite_store.close()
    assert sqlite_store.every(Ingredient) == []
