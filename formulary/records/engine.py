"""Connections to SQLite and PostgreSQL, each set up so that what was confirmed is on disk.

Threads: the engine hands every session a connection of its own, so a store may be asked from any
thread. A transaction belongs to the thread that opened it.
"""

from __future__ import annotations

import sqlite3
from pathlib import Path
from typing import Any

from sqlalchemy import Connection, Engine, create_engine, event
from sqlalchemy.pool import NullPool, QueuePool

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


def sqlite_engine(path: Path, *, foreign_keys: bool = True) -> Engine:
    """Return an engine on a file that is there; it is never created here.

    ``foreign_keys`` is off for migrations only: replacing a parent table would delete children.
    """

    def connect() -> sqlite3.Connection:
        # Only a URI can say that a missing file isn't to be made. The driver's own idea of
        # transactions is switched off; "begin" below says it outright.
        uri = f"{path.absolute().as_uri()}?mode=rw"
        connection = sqlite3.connect(uri, uri=True, isolation_level=None, check_same_thread=False)
        try:
            for pragma in (*_PRAGMAS, f"foreign_keys = {'ON' if foreign_keys else 'OFF'}"):
                connection.execute(f"PRAGMA {pragma}").fetchall()
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
    return engine


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
