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
from formulary.records.schema import SCHEMA, Schema, is_empty, revision_of
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
    engine = sqlite_engine(path)
    try:
        with told_of(place):
            _bring_up_to_date(engine, place, schema, create=create, path=path)
    except BaseException:
        engine.dispose()
        if made:
            path.unlink()
        raise
    return SqlStore(engine, place)


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
            _bring_up_to_date(engine, place, schema, create=create, path=None)
    except BaseException:
        engine.dispose()
        raise
    return SqlStore(engine, place)


def _bring_up_to_date(
    engine: Engine, place: str, schema: Schema, *, create: bool, path: Path | None
) -> None:
    """Check the revision; migrate what is empty (if it may be made) or older."""
    revision = revision_of(engine)
    if revision == schema.head:
        return
    if revision is None and not (create and is_empty(engine)):
        raise StoreTrouble(message("store.trouble.not_a_formulary", place=place))
    if revision is not None and revision not in schema.revisions:
        raise StoreTrouble(message("store.from_newer_version", place=place))
    # Alembic takes a tenth of a second to load, which opening day by day needn't wait for.
    from formulary.records import upgrading

    if path is None:
        upgrading.upgrade(engine, schema)
        return
    if revision is not None:
        upgrading.backup_beside(path, schema.head)
    without_keys = sqlite_engine(path, foreign_keys=False)
    upgrading.upgrade(without_keys, schema)
    without_keys.dispose()


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
