"""What the program's own role may do on a server: all that work needs, and no more.

Whoever owns the tables could switch the guard of the history off; the role with which
workstations connect owns none, so it can add to the history and read it, nothing else.
"""

from __future__ import annotations

from sqlalchemy import Connection, text

from formulary.errors import NotFound, Refusal
from formulary.messages import message
from formulary.records.engine import postgres_engine
from formulary.records.tables import HistoryRow
from formulary.records.troubles import told_of

_FROM_NOW_ON = "ALTER DEFAULT PRIVILEGES IN SCHEMA public"
_GRANTS = (
    "GRANT USAGE ON SCHEMA public TO {role}",
    "GRANT SELECT, INSERT, UPDATE, DELETE ON ALL TABLES IN SCHEMA public TO {role}",
    "GRANT USAGE, SELECT ON ALL SEQUENCES IN SCHEMA public TO {role}",
    # Tables that a later version adds.
    f"{_FROM_NOW_ON} GRANT SELECT, INSERT, UPDATE, DELETE ON TABLES TO {{role}}",
    f"{_FROM_NOW_ON} GRANT USAGE, SELECT ON SEQUENCES TO {{role}}",
    f"REVOKE UPDATE, DELETE, TRUNCATE ON {HistoryRow.__tablename__} FROM {{role}}",
    "REVOKE INSERT, UPDATE, DELETE ON alembic_version FROM {role}",
)
_STANDING = text("""
    SELECT rolsuper, pg_has_role(rolname, tableowner, 'MEMBER')
    FROM pg_roles, pg_tables
    WHERE rolname = :role AND schemaname = 'public' AND tablename = 'history'
""")
_OWNS = text("""
    SELECT pg_has_role(current_user, tableowner, 'MEMBER')
    FROM pg_tables WHERE schemaname = 'public' AND tablename = 'history'
""")


def grant(url: str, role: str) -> None:
    """Let a role of the server work in a formulary that the URL's own role owns.

    Raises NotFound for no such role, and Refusal for one that nothing could be kept from and where
    the URL's role doesn't own the tables.
    """
    engine = postgres_engine(url)
    try:
        with told_of(engine.url.render_as_string(hide_password=True)), engine.begin() as connection:
            _check(connection, role)
            quoted = connection.dialect.identifier_preparer.quote(role)
            for statement in _GRANTS:
                connection.exec_driver_sql(statement.format(role=quoted))
    finally:
        engine.dispose()


def _check(connection: Connection, role: str) -> None:
    if not connection.scalar(_OWNS):
        # The server would only warn.
        raise Refusal(message("store.rights.not_owner"))
    standing = connection.execute(_STANDING, {"role": role}).one_or_none()
    if standing is None:
        raise NotFound(message("store.rights.no_role", role=role))
    if any(standing):
        raise Refusal(message("store.rights.owner", role=role))
