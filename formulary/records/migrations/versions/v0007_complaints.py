"""Complaints, and the ways to the jars that are here and to what runs out first."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0007"
down_revision = "0006"


def upgrade() -> None:
    """Make the table of complaints, and the indexes that the register asks by."""
    op.create_table(
        "complaint",
        sa.Column("id", sa.Text(), nullable=False),
        sa.Column("revision", sa.Integer(), nullable=False),
        sa.Column("body", sa.Text(), nullable=False),
        sa.Column("preparation_id", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_complaint"),
        sqlite_strict=True,
    )
    op.create_index("ix_complaint_preparation_id", "complaint", ["preparation_id"])
    op.create_index("ix_filled_jar_place", "filled_jar", ["place"])
    op.create_index("ix_preparation_use_by", "preparation", ["use_by"])
    # The longer one serves whatever the shorter one did.
    op.drop_index("ix_preparation_stage", "preparation")
    op.create_index("ix_preparation_stage_started_at", "preparation", ["stage", "started_at", "id"])
