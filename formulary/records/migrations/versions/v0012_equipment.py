"""The log of equipment and room, and marketed products made up by their label."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0012"
down_revision = "0011"


def upgrade() -> None:
    """Make both tables."""
    op.create_table(
        "equipment_note",
        sa.Column("id", sa.Text(), nullable=False),
        sa.Column("revision", sa.Integer(), nullable=False),
        sa.Column("body", sa.Text(), nullable=False),
        sa.Column("subject", sa.Text(), nullable=False),
        sa.Column("day", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_equipment_note"),
        sqlite_strict=True,
    )
    op.create_index("ix_equipment_note_subject", "equipment_note", ["subject"])
    op.create_index("ix_equipment_note_day", "equipment_note", ["day"])
    op.create_table(
        "reconstitution",
        sa.Column("id", sa.Text(), nullable=False),
        sa.Column("revision", sa.Integer(), nullable=False),
        sa.Column("body", sa.Text(), nullable=False),
        sa.Column("day", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_reconstitution"),
        sqlite_strict=True,
    )
    op.create_index("ix_reconstitution_day", "reconstitution", ["day"])
