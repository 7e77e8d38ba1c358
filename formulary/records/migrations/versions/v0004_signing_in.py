"""PINs of those who work here, who has left, and wrong tries."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0004"
down_revision = "0003"


def upgrade() -> None:
    """Nobody has a PIN yet; the first pharmacist to sign in sets one."""
    op.add_column("person", sa.Column("pin_hash", sa.Text(), nullable=False, server_default=""))
    op.add_column("person", sa.Column("gone", sa.Integer(), nullable=False, server_default="0"))
    op.create_table(
        "tries",
        sa.Column("id", sa.Text(), nullable=False),
        sa.Column("revision", sa.Integer(), nullable=False),
        sa.Column("body", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_tries"),
        sqlite_strict=True,
    )
