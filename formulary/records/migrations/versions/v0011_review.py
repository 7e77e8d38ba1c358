"""Rules of the house, and the reasons why findings of the review may stand."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0011"
down_revision = "0010"


def upgrade() -> None:
    """Make the tables of house rules and of overridings."""
    op.create_table(
        "house_rule",
        sa.Column("id", sa.Text(), nullable=False),
        sa.Column("revision", sa.Integer(), nullable=False),
        sa.Column("body", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_house_rule"),
        sqlite_strict=True,
    )
    op.create_table(
        "overriding",
        sa.Column("id", sa.Text(), nullable=False),
        sa.Column("revision", sa.Integer(), nullable=False),
        sa.Column("body", sa.Text(), nullable=False),
        sa.Column("version_id", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_overriding"),
        sa.ForeignKeyConstraint(["version_id"], ["version.id"], name="fk_overriding_version_id"),
        sqlite_strict=True,
    )
    op.create_index("ix_overriding_version_id", "overriding", ["version_id"])
