"""Opening the place where the formulary is kept, or saying why it can't be opened."""

from __future__ import annotations

import os
import sqlite3
from pathlib import Path

from sqlalchemy import Engine
from sqlalchemy.exc import ArgumentError

from formulary.errors import NotFound, StoreTrouble
from formulary.messages import message
from formulary.records.engine import postgres_engine, sqlite_engine
from formulary.records.schema import SCHEMA, Found, Schema, found_in_file, found_on_server
from formulary.records.sql_store import SqlStore
from formulary.records.troubles import told_of

OLDEST_SQLITE = (3, 37)
"""The first with STRICT tables."""

_URL = "postgresql+psycopg://"


def open_store(where: str | Path, *, create: bool = False, schema: Schema = SCHEMA) -> SqlStore:
    """Open a SQLite file, or a PostgreSQL database given as ``postgresql+psycopg://...``.

    An older formulary is brought up to date, a file after a copy beside it. Raises NotFound for a
    file that isn't there (unless ``create``) and StoreTrouble for all that is wrong with one.
    """
    if "://" in str(where):
        return _open_server(str(where), create=create, schema=schema)
    return _open_file(Path(where), create=create, schema=schema)


def _open_file(path: Path, *, create: bool, schema: Schema) -> SqlStore:
    place = str(path)
    _check_sqlite()
    made = not path.exists()
    if made and not create:
        raise NotFound(message("store.no_file", place=place))
    if made:
        _make_file(path)
    try:
        with told_of(place):
            if _is_behind(found_in_file(path), place, schema, create=create):
                _upgrade_file(path, schema)
    except BaseException:
        if made:
            path.unlink()
        raise
    return SqlStore(sqlite_engine(path), place)


def _open_server(url: str, *, create: bool, schema: Schema) -> SqlStore:
    if not url.startswith(_URL):
        raise StoreTrouble(message("store.not_a_postgresql_url", wanted=_URL))
    try:
        engine = postgres_engine(url)
    except (ArgumentError, ValueError):
        raise StoreTrouble(message("store.not_a_postgresql_url", wanted=_URL)) from None
    # The place is named without its password.
    place = engine.url.render_as_string(hide_password=True)
    try:
        with told_of(place):
            if _is_behind(found_on_server(engine), place, schema, create=create):
                _upgrade_server(engine, schema)
    except BaseException:
        engine.dispose()
        raise
    return SqlStore(engine, place)


def _is_behind(found: Found, place: str, schema: Schema, *, create: bool) -> bool:
    """Return whether steps are missing: in an older database, or an empty one that may be made."""
    if found.revision is None and not (create and found.empty):
        raise StoreTrouble(message("store.trouble.not_a_formulary", place=place))
    if found.revision is not None and found.revision not in schema.revisions:
        raise StoreTrouble(message("store.from_newer_version", place=place))
    return found.revision != schema.head


def _upgrade_file(path: Path, schema: Schema) -> None:
    """Run the missing steps on a file, after a copy beside it if there is something in it."""
    # Alembic takes a tenth of a second to load, which opening day by day needn't wait for.
    from formulary.records import upgrading

    if path.stat().st_size:
        upgrading.backup_beside(path, schema.head)
    engine = sqlite_engine(path, foreign_keys=False)
    upgrading.upgrade(engine, schema)
    engine.dispose()


def _upgrade_server(engine: Engine, schema: Schema) -> None:
    from formulary.records import upgrading

    upgrading.upgrade(engine, schema)


def _make_file(path: Path) -> None:
    """Make an empty file that only its owner may read."""
    try:
        os.close(os.open(path, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o600))
    except OSError as error:
        why = error.strerror or type(error).__name__
        raise StoreTrouble(message("store.cannot_make", place=str(path), why=why)) from error


def _check_sqlite() -> None:
    """Raise StoreTrouble where Python's SQLite is too old or lacks full-text search."""
    with_search = _has_fts5()
    if sqlite3.sqlite_version_info < OLDEST_SQLITE or not with_search:
        oldest = ".".join(map(str, OLDEST_SQLITE))
        raise StoreTrouble(message("store.old_sqlite", found=sqlite3.sqlite_version, oldest=oldest))


def _has_fts5() -> bool:
    memory = sqlite3.connect(":memory:")
    try:
        used = {name for (name,) in memory.execute("PRAGMA compile_options")}
    finally:
        memory.close()
    return "ENABLE_FTS5" in used
