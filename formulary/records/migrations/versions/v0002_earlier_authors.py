"""Everybody who wrote a draft, so that none of them puts it in use unseen by another."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0002"
down_revision = "0001"


def upgrade() -> None:
    """Add the column; of versions written before, only the last author is known."""
    column = sa.Column("earlier_authors", sa.Text(), nullable=False, server_default="")
    op.add_column("version", column)
