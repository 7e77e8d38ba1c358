"""Which revisions of the tables this program knows, without loading what migrates them."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from sqlalchemy import Engine

BUSY_SECONDS = 5
"""How long a question or transaction waits for another program's to end."""


@dataclass(frozen=True, slots=True)
class Schema:
    """The known revisions, oldest first, and the folder with the steps between them."""

    revisions: tuple[str, ...]
    scripts: Path

    @property
    def head(self) -> str:
        """The revision this program works with."""
        return self.revisions[-1]


SCHEMA = Schema(
    (
        "0001",
        "0002",
        "0003",
        "0004",
        "0005",
        "0006",
        "0007",
        "0008",
        "0009",
        "0010",
        "0011",
        "0012",
        "0013",
        "0014",
        "0015",
        "0016",
    ),
    Path(__file__).with_name("migrations"),
)

# Where Alembic keeps the revision.
_TABLE = "alembic_version"
_QUERY = "SELECT version_num FROM alembic_version"


@dataclass(frozen=True, slots=True)
class Found:
    """What a database is at: the revision, if it is a formulary, else whether it is empty."""

    revision: str | None
    empty: bool = False


def connected(path: Path) -> sqlite3.Connection:
    """Connect to a file that is there, to read only a little and to set up nothing."""
    return sqlite3.connect(f"{path.absolute().as_uri()}?mode=rw", uri=True, timeout=BUSY_SECONDS)


def found_in_file(path: Path) -> Found:
    """Look into a SQLite file without changing it, as setting up a connection would."""
    with closing(connected(path)) as connection:
        tables = {name for (name,) in connection.execute("SELECT name FROM sqlite_schema")}
        if _TABLE not in tables:
            return Found(None, empty=not tables)
        return Found(connection.execute(_QUERY).fetchone()[0])


def found_on_server(engine: Engine) -> Found:
    """Look into a database on a server."""
    from sqlalchemy import inspect, text

    with engine.connect() as connection:
        tables = inspect(connection).get_table_names()
        if _TABLE not in tables:
            return Found(None, empty=not tables)
        return Found(connection.execute(text(_QUERY)).scalar_one())
