"""Calculations kept with a formula or a preparation."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0003"
down_revision = "0002"


def upgrade() -> None:
    """Make the table, found by what a calculation belongs to."""
    op.create_table(
        "kept_calculation",
        sa.Column("id", sa.Text(), nullable=False),
        sa.Column("revision", sa.Integer(), nullable=False),
        sa.Column("body", sa.Text(), nullable=False),
        sa.Column("subject_id", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_kept_calculation"),
        sqlite_strict=True,
    )
    op.create_index("ix_kept_calculation_subject_id", "kept_calculation", ["subject_id"])
