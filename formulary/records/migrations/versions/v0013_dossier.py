"""The dossiers of formulas, and who read a version."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0013"
down_revision = "0012"


def upgrade() -> None:
    """Make both tables."""
    op.create_table(
        "dossier_item",
        sa.Column("id", sa.Text(), nullable=False),
        sa.Column("revision", sa.Integer(), nullable=False),
        sa.Column("body", sa.Text(), nullable=False),
        sa.Column("formula_id", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(
            ["formula_id"], ["formula.id"], name="fk_dossier_item_formula_id_formula"
        ),
        sa.PrimaryKeyConstraint("id", name="pk_dossier_item"),
        sqlite_strict=True,
    )
    op.create_index("ix_dossier_item_formula_id", "dossier_item", ["formula_id"])
    op.create_table(
        "read_mark",
        sa.Column("id", sa.Text(), nullable=False),
        sa.Column("revision", sa.Integer(), nullable=False),
        sa.Column("body", sa.Text(), nullable=False),
        sa.Column("version_id", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(
            ["version_id"], ["version.id"], name="fk_read_mark_version_id_version"
        ),
        sa.PrimaryKeyConstraint("id", name="pk_read_mark"),
        sqlite_strict=True,
    )
    op.create_index("ix_read_mark_version_id", "read_mark", ["version_id"])
