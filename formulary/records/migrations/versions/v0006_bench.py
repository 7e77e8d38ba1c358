"""What happens at the bench, event by event, and label proofs."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0006"
down_revision = "0005"


def upgrade() -> None:
    """Make the tables; what was started before is planned, as its plan was fixed."""
    op.create_table(
        "bench_job",
        sa.Column("id", sa.Text(), nullable=False),
        sa.Column("revision", sa.Integer(), nullable=False),
        sa.Column("body", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_bench_job"),
        sqlite_strict=True,
    )
    op.create_table(
        "bench_event",
        sa.Column("id", sa.Text(), nullable=False),
        sa.Column("revision", sa.Integer(), nullable=False),
        sa.Column("body", sa.Text(), nullable=False),
        sa.Column("preparation_id", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_bench_event"),
        sqlite_strict=True,
    )
    op.create_index("ix_bench_event_preparation_id", "bench_event", ["preparation_id"])
    op.create_table(
        "balance_check",
        sa.Column("id", sa.Text(), nullable=False),
        sa.Column("revision", sa.Integer(), nullable=False),
        sa.Column("body", sa.Text(), nullable=False),
        sa.Column("day", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_balance_check"),
        sqlite_strict=True,
    )
    op.create_index("ix_balance_check_day", "balance_check", ["day"])
    op.create_table(
        "filled_jar",
        sa.Column("id", sa.Text(), nullable=False),
        sa.Column("revision", sa.Integer(), nullable=False),
        sa.Column("body", sa.Text(), nullable=False),
        sa.Column("preparation_id", sa.Text(), nullable=False),
        sa.Column("place", sa.Text(), nullable=False),
        sa.Column("recipient_id", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_filled_jar"),
        sqlite_strict=True,
    )
    op.create_index("ix_filled_jar_preparation_id", "filled_jar", ["preparation_id"])
    op.create_table(
        "alone_act",
        sa.Column("id", sa.Text(), nullable=False),
        sa.Column("revision", sa.Integer(), nullable=False),
        sa.Column("body", sa.Text(), nullable=False),
        sa.Column("waits_for", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_alone_act"),
        sqlite_strict=True,
    )
    op.create_index("ix_alone_act_waits_for", "alone_act", ["waits_for"])
    proof = sa.Column("proof", sa.Integer(), nullable=False, server_default="0")
    op.add_column("label_print", proof)
    op.add_column(
        "preparation", sa.Column("workstation", sa.Text(), nullable=False, server_default="")
    )
    op.create_index("ix_preparation_stage", "preparation", ["stage"])
    op.execute("UPDATE preparation SET stage = 'planned' WHERE stage = 'started'")
