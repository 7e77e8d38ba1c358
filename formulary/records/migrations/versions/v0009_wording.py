"""Wordings of the house and their approvals; the language and directions of a preparation."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0009"
down_revision = "0008"


def upgrade() -> None:
    """Make the table; what was made before speaks the house's label language."""
    op.create_table(
        "wording_book",
        sa.Column("id", sa.Text(), nullable=False),
        sa.Column("revision", sa.Integer(), nullable=False),
        sa.Column("body", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_wording_book"),
        sqlite_strict=True,
    )
    for name in ("language", "dosing"):
        column = sa.Column(name, sa.Text(), nullable=False, server_default="")
        op.add_column("preparation", column)
