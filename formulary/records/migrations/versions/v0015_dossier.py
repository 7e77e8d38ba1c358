"""The dossiers of formulas."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0015"
down_revision = "0012"


def upgrade() -> None:
    """Make the table."""
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
