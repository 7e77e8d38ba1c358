"""Which errors of a database are the surroundings' fault, and the sentence for each.

Every other database error is our own mistake and goes on as it is.
"""

from __future__ import annotations

import os
import shutil
import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from sqlalchemy.exc import DBAPIError
from sqlalchemy.exc import TimeoutError as PoolTimeoutError

from formulary.errors import StoreTrouble
from formulary.messages import message

_SQLITE = {
    sqlite3.SQLITE_BUSY: "locked",
    sqlite3.SQLITE_LOCKED: "locked",
    sqlite3.SQLITE_READONLY: "read_only",
    sqlite3.SQLITE_PERM: "read_only",
    sqlite3.SQLITE_CANTOPEN: "cannot_open",
    sqlite3.SQLITE_AUTH: "cannot_open",
    sqlite3.SQLITE_FULL: "disk_full",
    sqlite3.SQLITE_IOERR: "disk_error",
    sqlite3.SQLITE_PROTOCOL: "disk_error",
    sqlite3.SQLITE_CORRUPT: "damaged",
    sqlite3.SQLITE_NOTADB: "not_a_formulary",
}
_PRIMARY_CODE = 0xFF
_LEAST_ROOM = 1 << 16
"""The index of SQLite's log grows by half of this."""

# By the first two or all five signs of SQLSTATE.
_POSTGRES = {
    "08": "cannot_reach",
    "28": "cannot_reach",
    "3D": "cannot_reach",
    "42501": "no_rights",
    "25006": "read_only",
    "53": "server_overloaded",
    "53100": "disk_full",
    "55P03": "locked",
    "40P01": "locked",
    "57": "cannot_reach",
    "58": "disk_error",
    "XX": "damaged",
}


@contextmanager
def told_of(place: str) -> Iterator[None]:
    """Turn known troubles with the database at ``place`` into :class:`StoreTrouble`."""
    try:
        yield
    except (DBAPIError, sqlite3.Error) as error:
        trouble = known_trouble(error.orig if isinstance(error, DBAPIError) else error)
        if trouble is None:
            raise
        trouble = _of_the_disk(trouble, Path(place))
        raise StoreTrouble(message(f"store.trouble.{trouble}", place=place)) from error
    except PoolTimeoutError as error:
        raise StoreTrouble(message("store.trouble.locked", place=place)) from error


def _of_the_disk(trouble: str, place: Path) -> str:
    """Return what the disk says of a trouble with a file, which SQLite tells by what it did then.

    Without room it can't make its index of the log, which it calls an error of the disk; where
    nothing can be written beside the file, it can't open it even to read.
    """
    if trouble not in ("disk_error", "cannot_open") or not place.is_file():
        return trouble
    if not os.access(place.parent, os.W_OK):
        return "read_only_disk"
    full = shutil.disk_usage(place.parent).free < _LEAST_ROOM
    return "disk_full" if full else trouble


def known_trouble(error: BaseException | None) -> str | None:
    """Return the name of the trouble that a driver's error means, or None for a mistake of ours."""
    if isinstance(error, sqlite3.Error):
        code = getattr(error, "sqlite_errorcode", None)
        return None if code is None else _SQLITE.get(code & _PRIMARY_CODE)
    if error is None or not hasattr(error, "sqlstate"):
        return None
    state = error.sqlstate
    if state is None:
        # Without a state there is no connection, for whatever reason: libpq tells it in words only.
        return "cannot_reach" if type(error).__name__ == "OperationalError" else None
    return _POSTGRES.get(state, _POSTGRES.get(state[:2]))
