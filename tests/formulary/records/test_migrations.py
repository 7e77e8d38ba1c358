"""Older databases come up to date with all that is in them."""

from __future__ import annotations

import shutil
import sqlite3
import stat
from contextlib import closing
from pathlib import Path

import pytest
import sqlalchemy as sa
from alembic.autogenerate import compare_metadata
from alembic.migration import MigrationContext
from alembic.script import ScriptDirectory

from formulary.errors import FormularyError
from formulary.formula.version import Version
from formulary.records import upgrading
from formulary.records.opening import open_store
from formulary.records.schema import SCHEMA, Schema
from formulary.records.sql_store import SqlStore
from formulary.records.tables import Row
from tests.helpers.kept import ACT, a_content, keep_formula

# A later step that replaces a parent table, which is where rows of its children get lost.
LATER = '''
"""A step of this test."""
import sqlalchemy as sa
from alembic import op

revision = "9999"
down_revision = "{head}"


def upgrade() -> None:
    with op.batch_alter_table("version", recreate="always") as batch:
        batch.add_column(sa.Column("remark", sa.Text(), server_default="", nullable=False))
'''
ASTRAY = '''
"""A step of this test that loses its parents."""
from alembic import op

revision = "9999"
down_revision = "{head}"


def upgrade() -> None:
    op.execute("DELETE FROM formula")
'''
HALFWAY = '''
"""A step of this test that fails after its first half."""
from alembic import op

revision = "9999"
down_revision = "{head}"


def upgrade() -> None:
    op.execute("ALTER TABLE person ADD COLUMN remark TEXT")
    op.execute("INSERT INTO nowhere VALUES (1)")
'''


def later(folder: Path, step: str) -> Schema:
    """Return a schema with one more step than the program's."""
    scripts = folder / "migrations"
    shutil.copytree(SCHEMA.scripts, scripts)
    (scripts / "versions" / "v9999_later.py").write_text(step.replace("{head}", SCHEMA.head))
    return Schema((*SCHEMA.revisions, "9999"), scripts)


def counts(path: Path) -> list[int]:
    with closing(sqlite3.connect(path)) as connection:
        return [
            connection.execute(f"SELECT count(*) FROM {name}").fetchone()[0]  # noqa: S608
            for name in ("formula", "version", "version_line", "history")
        ]


@pytest.fixture
def filled_file(sqlite_file: Path) -> Path:
    """Return a formulary with rows in parent and child tables."""
    store = open_store(sqlite_file)
    for code in ("A", "B", "C"):
        keep_formula(store, a_content(f"Zinc cream {code}", code), f"f-{code}")
    store.close()
    return sqlite_file


def ours(name: str | None, kind: str, _: object) -> bool:
    """Leave out what only one engine's search has."""
    of_search = kind == "table" and str(name).startswith("formula_words")
    return not of_search and name not in ("tokens", "ix_formula_search_tokens")


def test_the_migrated_tables_are_those_that_the_program_uses(sql_store: SqlStore) -> None:
    with sql_store._engine.connect() as connection:
        context = MigrationContext.configure(
            connection, opts={"compare_type": True, "include_name": ours}
        )
        assert compare_metadata(context, Row.metadata) == []


def test_the_known_revisions_are_those_of_the_steps() -> None:
    steps = ScriptDirectory(str(SCHEMA.scripts)).walk_revisions()
    assert [step.revision for step in steps][::-1] == list(SCHEMA.revisions)


def test_replacing_a_parent_table_keeps_its_children(filled_file: Path, tmp_path: Path) -> None:
    before = counts(filled_file)
    assert before == [3, 3, 6, 3]
    store = open_store(filled_file, schema=later(tmp_path, LATER))
    assert counts(filled_file) == before
    assert len(store.every(Version)) == 3
    store.close()


def test_before_an_older_file_is_changed_a_copy_is_laid_beside_it(
    filled_file: Path, tmp_path: Path
) -> None:
    open_store(filled_file, schema=later(tmp_path, LATER)).close()
    copy = filled_file.with_name("formulary.before-9999.db")
    assert stat.S_IMODE(copy.stat().st_mode) == 0o600
    store = open_store(copy)
    assert len(store.find_formulas("zinc")) == 3
    store.close()


def test_a_copy_never_replaces_an_earlier_one(filled_file: Path) -> None:
    made = [upgrading.backup_beside(filled_file, "9999").name for _ in range(3)]
    assert made == [
        "formulary.before-9999.db",
        "formulary.before-9999-2.db",
        "formulary.before-9999-3.db",
    ]


@pytest.mark.parametrize("step", [ASTRAY, HALFWAY])
def test_a_step_that_fails_leaves_the_file_as_it_was(
    filled_file: Path, tmp_path: Path, step: str
) -> None:
    before = counts(filled_file)
    with pytest.raises((RuntimeError, sa.exc.OperationalError)):
        open_store(filled_file, schema=later(tmp_path, step))
    assert counts(filled_file) == before
    store = open_store(filled_file)
    assert len(store.find_formulas("zinc")) == 3
    store.close()


def test_a_formulary_of_a_later_program_is_not_opened(filled_file: Path, tmp_path: Path) -> None:
    open_store(filled_file, schema=later(tmp_path, LATER)).close()
    with pytest.raises(FormularyError) as told:
        open_store(filled_file)
    assert told.value.message.key == "store.from_newer_version"


def test_a_server_is_brought_up_to_date_as_well(postgres_url: str, tmp_path: Path) -> None:
    store = open_store(postgres_url)
    keep_formula(store, a_content())
    store.close()
    again = open_store(
        postgres_url, schema=later(tmp_path, LATER.replace(', recreate="always"', ""))
    )
    assert len(again.find_formulas("zinc")) == 1
    with again.writing(ACT, "look"):
        pass
    again.close()


def test_a_server_s_step_that_fails_leaves_it_as_it_was(postgres_url: str, tmp_path: Path) -> None:
    with pytest.raises(sa.exc.ProgrammingError):
        open_store(postgres_url, schema=later(tmp_path, HALFWAY))
    store = open_store(postgres_url)
    assert "remark" not in {
        column["name"] for column in sa.inspect(store._engine).get_columns("person")
    }
    store.close()


def test_the_full_text_index_follows_its_table(sqlite_store: SqlStore) -> None:
    keep_formula(sqlite_store, a_content())
    with sqlite_store._engine.begin() as connection:
        run = connection.exec_driver_sql
        run("UPDATE formula_search SET folded = 'paste'")
        run("INSERT OR REPLACE INTO formula_search SELECT * FROM formula_search")
        run("INSERT INTO formula_words(formula_words, rank) VALUES ('integrity-check', 1)")
        assert run("SELECT count(*) FROM formula_words('paste')").scalar() == 1
        assert run("SELECT count(*) FROM formula_words('zinc')").scalar() == 0
        run("DELETE FROM formula_search")
        assert run("SELECT count(*) FROM formula_words('paste')").scalar() == 0


def test_a_formulary_of_the_first_program_keeps_all_it_has(
    filled_file: Path, tmp_path: Path
) -> None:
    first = of_the_first_program(filled_file, tmp_path)
    before = counts(first)
    open_store(first).close()
    assert counts(first) == before == [3, 3, 6, 3]
    with closing(sqlite3.connect(first)) as connection:
        authors = connection.execute("SELECT DISTINCT earlier_authors FROM version").fetchall()
    assert authors == [("",)]


def of_the_first_program(filled: Path, folder: Path) -> Path:
    """Return a copy of a file as the first program would have kept it."""
    scripts = folder / "first"
    shutil.copytree(SCHEMA.scripts, scripts)
    for step in (scripts / "versions").glob("v0*.py"):
        if not step.name.startswith("v0001"):
            step.unlink()
    path = folder / "first.misce"
    open_store(path, create=True, schema=Schema(SCHEMA.revisions[:1], scripts)).close()
    with closing(sqlite3.connect(path)) as connection, connection:
        connection.execute("ATTACH ? AS filled", (str(filled),))
        for table in ("house", "person", "formula", "version", "version_line"):
            columns = [row[1] for row in connection.execute(f"PRAGMA table_info({table})")]
            named = ", ".join(columns)
            connection.execute(
                f"INSERT INTO {table} ({named}) SELECT {named} FROM filled.{table}"  # noqa: S608
            )
        connection.execute("INSERT INTO history SELECT * FROM filled.history")
        connection.execute("DELETE FROM chain_head")
        connection.execute("INSERT INTO chain_head SELECT * FROM filled.chain_head")
    return path
