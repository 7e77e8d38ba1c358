"""What led to a preparation's last day of use."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0010"
down_revision = "0009"


def upgrade() -> None:
    """Add the column; what was made before has its date without its working."""
    column = sa.Column("dating", sa.Text(), nullable=False, server_default="")
    op.add_column("preparation", column)
