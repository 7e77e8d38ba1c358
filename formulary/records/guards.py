"""The guards of the history, which keep it from being changed, and whether they are there.

Whoever owns the file or the tables can take them away; that is found and mended, while what was
done meanwhile shows in the chain.
"""

from __future__ import annotations

from sqlalchemy import inspect, text
from sqlalchemy.orm import Session

from formulary.records.tables import Row

SQLITE = {
    name: f"CREATE TRIGGER {name} BEFORE {what} ON history BEGIN\n"
    "        SELECT RAISE(ABORT, 'the history is never changed');\n    END"
    for name, what in (("history_no_update", "UPDATE"), ("history_no_delete", "DELETE"))
}
"""The statements that make them, by their names; on a server its owner makes them."""

_POSTGRES = ("history_no_change", "history_no_truncate")
_OF_SQLITE = text("SELECT name, sql FROM sqlite_schema WHERE type = 'trigger'")
_OF_POSTGRES = text(
    "SELECT tgname FROM pg_trigger WHERE tgrelid = 'history'::regclass AND tgenabled IN ('O', 'A')"
)


def guards_gone(session: Session) -> list[str]:
    """Return the names of the guards that aren't there, or do something else."""
    if session.get_bind().dialect.name == "sqlite":
        there = {name: " ".join(sql.split()) for name, sql in session.execute(_OF_SQLITE)}
        return [name for name, sql in SQLITE.items() if there.get(name) != " ".join(sql.split())]
    named = set(session.scalars(_OF_POSTGRES))
    return [name for name in _POSTGRES if name not in named]


def put_back(session: Session) -> int:
    """Put the guards back that aren't there, and return how many those were."""
    gone = guards_gone(session)
    if session.get_bind().dialect.name != "sqlite":
        return 0
    for name in gone:
        session.execute(text(f"DROP TRIGGER IF EXISTS {name}"))
        session.execute(text(SQLITE[name]))
    return len(gone)


def tables_gone(session: Session) -> list[str]:
    """Return the names of the tables that aren't there."""
    there = set(inspect(session.connection()).get_table_names())
    return sorted({each.name for each in Row.metadata.sorted_tables} - there)
