"""The list that shows before the store is open is the list that the store then shows."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

from formulary.records.first_list import first_hits
from formulary.records.sql_store import SqlStore
from tests.helpers.kept import a_content, keep_formula


def test_it_is_the_store_s_own_first_page(sqlite_store: SqlStore, sqlite_file: Path) -> None:
    for code, title in (("A", "Zinc paste"), ("B", "Ärzte cream"), ("C", "Calamine")):
        keep_formula(sqlite_store, a_content(title, code), f"f-{code}")
    assert first_hits(sqlite_file) == sqlite_store.find_formulas("")
    assert first_hits(sqlite_file, limit=2) == sqlite_store.find_formulas("", limit=2)


@pytest.mark.parametrize("name", ["none.db", "diary.db", "."])
def test_what_is_no_formulary_shows_an_empty_list_until_it_is_opened(
    tmp_path: Path, name: str
) -> None:
    (tmp_path / "diary.db").write_text("Dear diary, " * 200)
    assert first_hits(tmp_path / name) == ()
    assert not (tmp_path / "none.db").exists()


def test_a_server_is_asked_only_once_it_is_opened() -> None:
    assert first_hits("postgresql+psycopg://x/y") == ()


def test_it_loads_no_database_library(sqlite_file: Path) -> None:
    program = (
        "import sys; from formulary.records.first_list import first_hits; "
        f"first_hits({str(sqlite_file)!r}); assert 'sqlalchemy' not in sys.modules"
    )
    subprocess.run([sys.executable, "-c", program], check=True)
