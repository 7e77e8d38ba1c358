"""The labels of each print as they were drawn."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0016"
down_revision = "0015"


def upgrade() -> None:
    """Keep them beside what the print says; older prints have none."""
    drawn = sa.Column("drawn", sa.Text(), nullable=False, server_default="")
    op.add_column("label_print", drawn)
