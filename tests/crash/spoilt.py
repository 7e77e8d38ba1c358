"""Files that can't be opened: of a newer program, damaged, cut, or no database at all."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from pathlib import Path

PAGE = 4096


def newer(path: Path) -> None:
    with closing(sqlite3.connect(path)) as connection, connection:
        connection.execute("UPDATE alembic_version SET version_num = '9999'")


def damaged(path: Path) -> None:
    whole = path.read_bytes()
    path.write_bytes(whole[:PAGE] + b"\xff" * (len(whole) - PAGE))


def cut(path: Path) -> None:
    path.write_bytes(path.read_bytes()[: PAGE + PAGE // 2])


def no_database(path: Path) -> None:
    path.write_text("Dear diary, " * 500)


FAULTS = [
    (newer, "store.from_newer_version"),
    (damaged, "store.trouble.damaged"),
    (cut, "store.trouble.damaged"),
    (no_database, "store.trouble.not_a_formulary"),
]
