"""Hearing of what others write: from a server that calls, from a file that is looked at."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import closing
from threading import Event

from sqlalchemy import Engine, text
from sqlalchemy.exc import OperationalError

from formulary.records.schema import BUSY_SECONDS

CHANNEL = "misce"
CALL = text(f"NOTIFY {CHANNEL}")
"""What a transaction says on a server; it is heard once it has landed."""

_SECONDS = 0.5


def wakened(engine: Engine, stop: Event) -> Iterator[None]:
    """Yield at the beginning, and each time something was written, until told to ``stop``.

    Raises SQLAlchemy's OperationalError where the server is lost.
    """
    listen = _to_server if engine.dialect.name == "postgresql" else _at_file
    yield from listen(engine, stop)


def _to_server(engine: Engine, stop: Event) -> Iterator[None]:
    import psycopg

    # A connection of its own, which waits for calls and does nothing else.
    address = engine.url.set(drivername="postgresql").render_as_string(hide_password=False)
    try:
        with psycopg.connect(address, autocommit=True, connect_timeout=BUSY_SECONDS) as connection:
            connection.execute(f"LISTEN {CHANNEL}")
            yield
            while not stop.is_set():
                for _ in connection.notifies(timeout=_SECONDS, stop_after=1):
                    yield
    except psycopg.OperationalError as error:
        # As the engine's own connections say it.
        raise OperationalError(CHANNEL, None, error) from error


def _at_file(engine: Engine, stop: Event) -> Iterator[None]:
    """SQLite counts in each connection how often others have written to the file."""
    with closing(engine.raw_connection()) as pooled:
        cursor = pooled.cursor()
        known = None
        while not stop.is_set():
            (version,) = cursor.execute("PRAGMA data_version").fetchone()
            if version != known:
                known = version
                yield
            stop.wait(_SECONDS)
