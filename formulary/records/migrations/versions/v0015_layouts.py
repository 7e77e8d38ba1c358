"""The house's layouts of labels, and what each print was for."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0015"
down_revision = "0014"


def upgrade() -> None:
    """Make the table, and count containers and leaflets beside labels, and note the layout."""
    op.create_table(
        "house_layout",
        sa.Column("id", sa.Text(), nullable=False),
        sa.Column("revision", sa.Integer(), nullable=False),
        sa.Column("body", sa.Text(), nullable=False),
        sa.Column("stock", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_house_layout"),
        sqlite_strict=True,
    )
    op.create_index("ix_house_layout_stock", "house_layout", ["stock"])
    for name in ("containers", "leaflets", "layout"):
        op.add_column(
            "label_print", sa.Column(name, sa.Integer(), nullable=False, server_default="0")
        )
