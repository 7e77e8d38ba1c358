"""Which errors of a database are told, and which are our own mistakes."""

from __future__ import annotations

import sqlite3

import psycopg
import pytest
from psycopg import errors as pg

from formulary.records.troubles import known_trouble


def sqlite_error(code: int) -> sqlite3.OperationalError:
    error = sqlite3.OperationalError("x")
    error.sqlite_errorcode = code
    return error


@pytest.mark.parametrize(
    ("code", "trouble"),
    [
        (sqlite3.SQLITE_BUSY, "locked"),
        (sqlite3.SQLITE_BUSY_SNAPSHOT, "locked"),
        (sqlite3.SQLITE_READONLY_DIRECTORY, "read_only"),
        (sqlite3.SQLITE_FULL, "disk_full"),
        (sqlite3.SQLITE_IOERR_FSYNC, "disk_error"),
        (sqlite3.SQLITE_CORRUPT_VTAB, "damaged"),
        (sqlite3.SQLITE_NOTADB, "not_a_formulary"),
        (sqlite3.SQLITE_CANTOPEN, "cannot_open"),
        (sqlite3.SQLITE_CONSTRAINT_UNIQUE, None),
        (sqlite3.SQLITE_ERROR, None),
    ],
)
def test_sqlite_s_codes(code: int, trouble: str | None) -> None:
    assert known_trouble(sqlite_error(code)) == trouble


@pytest.mark.parametrize(
    ("error", "trouble"),
    [
        (pg.LockNotAvailable(), "locked"),
        (pg.DeadlockDetected(), "locked"),
        (pg.DiskFull(), "disk_full"),
        (pg.TooManyConnections(), "server_overloaded"),
        (pg.InvalidPassword(), "cannot_reach"),
        (pg.ReadOnlySqlTransaction(), "read_only"),
        (pg.AdminShutdown(), "cannot_reach"),
        (psycopg.OperationalError("no answer"), "cannot_reach"),
        (pg.UniqueViolation(), None),
        (pg.SyntaxError(), None),
        (psycopg.ProgrammingError("ours"), None),
        (ValueError("ours"), None),
        (None, None),
    ],
)
def test_postgresql_s_states(error: BaseException | None, trouble: str | None) -> None:
    assert known_trouble(error) == trouble
