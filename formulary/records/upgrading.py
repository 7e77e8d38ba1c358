"""Bringing a database to the tables of today, step by step. Loads Alembic, so imported late."""

from __future__ import annotations

import os
import sqlite3
from contextlib import closing
from pathlib import Path

from alembic import command
from alembic.config import Config
from sqlalchemy import Connection, Engine

from formulary.errors import StoreTrouble
from formulary.messages import message
from formulary.records.engine import for_writing
from formulary.records.schema import Schema


def upgrade(engine: Engine, schema: Schema) -> None:
    """Run the steps that are missing, all in one transaction.

    On SQLite the engine must have foreign keys off; they are checked before the commit.
    """
    with for_writing(engine).begin() as connection:
        command.upgrade(configuration(connection, schema), "head")
        if connection.dialect.name == "sqlite":
            _check_foreign_keys(connection)


def configuration(connection: Connection, schema: Schema) -> Config:
    """Return Alembic's settings for a connection that is open; there is no file of them."""
    config = Config()
    config.set_main_option("script_location", str(schema.scripts).replace("%", "%%"))
    config.attributes["connection"] = connection
    return config


def backup_beside(path: Path, revision: str) -> Path:
    """Copy a database that is about to be changed, check the copy and return its path."""
    copy = _free_name(path, revision)
    os.close(os.open(copy, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o600))
    with closing(sqlite3.connect(path)) as source, closing(sqlite3.connect(copy)) as target:
        source.backup(target)
        (found,) = target.execute("PRAGMA integrity_check").fetchone()
    if found != "ok":
        raise StoreTrouble(message("store.trouble.damaged", place=str(path)))
    return copy


def _free_name(path: Path, revision: str) -> Path:
    first = path.with_name(f"{path.stem}.before-{revision}{path.suffix}")
    number, copy = 2, first
    while copy.exists():
        copy = first.with_name(f"{first.stem}-{number}{first.suffix}")
        number += 1
    return copy


def _check_foreign_keys(connection: Connection) -> None:
    if astray := connection.exec_driver_sql("PRAGMA foreign_key_check").first():
        raise RuntimeError(f"the migration left a row without its parent: {astray}")
