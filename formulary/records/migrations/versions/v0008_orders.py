"""Orders, what is known of their patients, and one-offs."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0008"
down_revision = "0007"


def upgrade() -> None:
    """Make the table; what was made before was made for no order."""
    op.create_table(
        "orders",
        sa.Column("id", sa.Text(), nullable=False),
        sa.Column("revision", sa.Integer(), nullable=False),
        sa.Column("body", sa.Text(), nullable=False),
        sa.Column("number", sa.Text(), nullable=False),
        sa.Column("state", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_orders"),
        sa.UniqueConstraint("number", name="uq_orders_number"),
        sqlite_strict=True,
    )
    op.create_index("ix_orders_state", "orders", ["state"])
    op.add_column("identity", sa.Column("details", sa.Text(), nullable=False, server_default=""))
    for table in ("version", "preparation"):
        column = sa.Column("order_id", sa.Text(), nullable=False, server_default="")
        op.add_column(table, column)
    op.create_index("ix_preparation_order_id", "preparation", ["order_id"])
