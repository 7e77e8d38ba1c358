"""What seals a person outside the house: the history names a hash that nobody can guess."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0014"
down_revision = "0013"


def upgrade() -> None:
    """Add the column; who is on record already is sealed when they are next put."""
    op.add_column("identity", sa.Column("seal", sa.Text(), nullable=False, server_default=""))
