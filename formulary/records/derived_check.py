"""Whether what is worked out from records is as they give it: lines, hits, the words' index."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from typing import Any

from sqlalchemy import select, text
from sqlalchemy.exc import DatabaseError
from sqlalchemy.orm import Session

from formulary.formula.version import Version
from formulary.records import derived
from formulary.records.kept_rows import UNREADABLE, kept_rows, values
from formulary.records.tables import FormulaRow, FormulaSearchRow, VersionLineRow

_CHECK_WORDS = text("INSERT INTO formula_words(formula_words, rank) VALUES ('integrity-check', 1)")
_ASTRAY = 11
"""SQLite's primary code for an index that doesn't fit its table (SQLITE_CORRUPT)."""


def astray(session: Session) -> Iterator[str]:
    """Yield table and id of what isn't as the records give it. Writes nothing."""
    yield from _lines(session)
    yield from _hits(session)


def _lines(session: Session) -> Iterator[str]:
    for version in _versions(session):
        if _lines_of(session, version.id) != [values(row) for row in derived.lines_of(version)]:
            yield f"version_line {version.id}"


def _lines_of(session: Session, version_id: str) -> list[dict[str, Any]]:
    """Return what a version's rows hold, none where they can't be read."""
    wanted = select(VersionLineRow).where(VersionLineRow.version_id == version_id)
    try:
        return [values(row) for row in session.scalars(wanted.order_by(VersionLineRow.position))]
    except UNREADABLE:
        return []


def _versions(session: Session) -> Iterator[Version]:
    """Yield the versions that can be read; of the others the check of records tells."""
    for row in kept_rows(session, Version):
        if isinstance(row.record, Version):
            yield row.record


def _hits(session: Session) -> Iterator[str]:
    there = {row.formula_id: values(row) for row in session.scalars(select(FormulaSearchRow))}
    for formula_id in session.scalars(select(FormulaRow.id)).all():
        found = there.get(formula_id, {})
        try:
            wanted = derived.found_by(session, formula_id) or {}
        except UNREADABLE:
            continue
        if bool(found) != bool(wanted) or any(found[name] != said for name, said in wanted.items()):
            yield f"formula_search {formula_id}"


def words_fit(session: Session) -> bool:
    """Return whether SQLite's full-text index holds the words of its table and no others.

    The session must be one that writes, though nothing is written; PostgreSQL works its own out.
    """
    if session.get_bind().dialect.name != "sqlite":
        return True
    trial = session.begin_nested()
    try:
        session.execute(_CHECK_WORDS)
    except DatabaseError as error:
        code = getattr(error.orig, "sqlite_errorcode", 0)
        if isinstance(error.orig, sqlite3.DatabaseError) and code & 0xFF == _ASTRAY:
            return False
        raise
    finally:
        trial.rollback()
    return True
