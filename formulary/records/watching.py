"""Hearing of what others write: from a server that calls, from a file that is looked at."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from threading import Event

from sqlalchemy import Engine, text
from sqlalchemy.exc import OperationalError

from formulary.records.schema import BUSY_SECONDS

CHANNEL = "misce"
CALL = text(f"NOTIFY {CHANNEL}")
"""What a transaction says on a server; it is heard once it has landed."""

_SECONDS = 0.5


def wakened(engine: Engine, place: str, stop: Event) -> Iterator[None]:
    """Yield at the beginning, and each time something was written, until told to ``stop``.

    Raises SQLAlchemy's OperationalError where the server is lost.
    """
    on_server = engine.dialect.name == "postgresql"
    yield from _to_server(engine, stop) if on_server else _at_file(place, stop)


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


def _at_file(place: str, stop: Event) -> Iterator[None]:
    """Look at the file and its log from outside: a connection kept open would keep old locks."""
    known: object = None
    while not stop.is_set():
        now = (_sign_of(Path(place)), _sign_of(Path(f"{place}-wal")))
        if now != known:
            known = now
            yield
        stop.wait(_SECONDS)


def _sign_of(path: Path) -> tuple[int, int, int] | None:
    """Return what changes with each commit."""
    try:
        found = path.stat()
    except FileNotFoundError:
        return None
    return found.st_ino, found.st_size, found.st_mtime_ns
