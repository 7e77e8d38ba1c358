"""Which revisions of the tables this program knows, without loading what migrates them."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from sqlalchemy import Engine, inspect, text


@dataclass(frozen=True, slots=True)
class Schema:
    """The known revisions, oldest first, and the folder with the steps between them."""

    revisions: tuple[str, ...]
    scripts: Path

    @property
    def head(self) -> str:
        """The revision this program works with."""
        return self.revisions[-1]


SCHEMA = Schema(("0001",), Path(__file__).with_name("migrations"))


def revision_of(engine: Engine) -> str | None:
    """Return the revision a database is at; None where it has none, so isn't a formulary."""
    with engine.connect() as connection:
        if not inspect(connection).has_table("alembic_version"):
            return None
        return connection.execute(text("SELECT version_num FROM alembic_version")).scalar()


def is_empty(engine: Engine) -> bool:
    """Return whether the database has no table at all."""
    with engine.connect() as connection:
        return not inspect(connection).get_table_names()
