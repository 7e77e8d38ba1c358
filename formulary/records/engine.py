"""Connections to SQLite and PostgreSQL, each set up so that what was confirmed is on disk.

Threads: the engine hands every session a connection of its own, so a store may be asked from any
thread. A transaction belongs to the thread that opened it.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Callable
from pathlib import Path
from typing import Any

from sqlalchemy import Connection, Engine, create_engine, event
from sqlalchemy.exc import DisconnectionError
from sqlalchemy.pool import NullPool, QueuePool

from formulary.errors import StoreTrouble
from formulary.messages import message
from formulary.records.schema import BUSY_SECONDS

_PRAGMAS = (
    f"busy_timeout = {BUSY_SECONDS * 1000}",
    "journal_mode = WAL",
    # NORMAL may lose the last transactions in a power cut.
    "synchronous = FULL",
    # An erased name is overwritten, not only unlinked.
    "secure_delete = ON",
    # Without it INSERT OR REPLACE passes the triggers by.
    "recursive_triggers = ON",
)
_BEGIN = "misce_begin"


class _Connection(sqlite3.Connection):
    """A connection that knows which write-ahead log it has open."""

    log = 0


def sqlite_engine(path: Path, *, foreign_keys: bool = True) -> Engine:
    """Return an engine on a file that is there; it is never created here.

    ``foreign_keys`` is off for migrations only: replacing a parent table would delete children.
    """

    def connect() -> sqlite3.Connection:
        # Only a URI can say that a missing file isn't to be made. The driver's own idea of
        # transactions is switched off; "begin" below says it outright.
        uri = f"{path.absolute().as_uri()}?mode=rw"
        connection = sqlite3.connect(
            uri, uri=True, isolation_level=None, check_same_thread=False, factory=_Connection
        )
        try:
            for pragma in (*_PRAGMAS, f"foreign_keys = {'ON' if foreign_keys else 'OFF'}"):
                connection.execute(f"PRAGMA {pragma}").fetchall()
            # The first question opens the write-ahead log.
            connection.execute("SELECT 1 FROM sqlite_schema LIMIT 1").fetchall()
            connection.log = log_of(path)
        except BaseException:
            connection.close()
            raise
        return connection

    def begin(connection: Connection) -> None:
        connection.exec_driver_sql(connection.get_execution_options().get(_BEGIN, "BEGIN"))

    engine = create_engine(
        "sqlite://", creator=connect, poolclass=QueuePool if foreign_keys else NullPool
    )
    event.listen(engine, "begin", begin)
    if foreign_keys:
        event.listen(engine, "checkout", _still_there(path, engine))
        event.listen(engine, "commit", _nothing_lost(path))
    return engine


def log_of(path: Path) -> int:
    """Return which file the write-ahead log beside a database is, 0 where there is none."""
    try:
        return Path(f"{path}-wal").stat().st_ino
    except FileNotFoundError:
        return 0


def _still_there(path: Path, engine: Engine) -> Callable[..., None]:
    """Return what lets a connection go whose log was taken away from under it.

    On POSIX a process loses its locks on a file when any part of it closes that file, as a dialog
    does that looks what sort of file it is. Another program then takes itself for the last one and
    removes the log; what was written into it from then on would be nowhere.
    """

    def check(connection: _Connection, *_: object) -> None:
        if connection.log != log_of(path):
            # All of them have lost it; only when the last is closed are locks taken anew.
            engine.pool.dispose()
            raise DisconnectionError("the write-ahead log was taken away")

    return check


def _nothing_lost(path: Path) -> Callable[[Connection], None]:
    """Return what refuses to call confirmed what went into a log that is gone."""

    def check(connection: Connection) -> None:
        if connection.connection.dbapi_connection.log != log_of(path):  # type: ignore[union-attr]
            raise StoreTrouble(message("store.trouble.taken_away", place=str(path)))

    return check


def postgres_engine(url: str) -> Engine:
    """Return an engine on a PostgreSQL database (``postgresql+psycopg://...``)."""
    options = f"-c lock_timeout={BUSY_SECONDS * 1000}"
    arguments: dict[str, Any] = {"options": options, "connect_timeout": BUSY_SECONDS}
    return create_engine(url, connect_args=arguments, pool_pre_ping=True)


def for_writing(engine: Engine) -> Engine:
    """Return the engine whose transactions take SQLite's write lock at once.

    A transaction that reads first and locks later can fail in between, when somebody else wrote.
    """
    return engine.execution_options(**{_BEGIN: "BEGIN IMMEDIATE"})
