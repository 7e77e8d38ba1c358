"""Stock: lots, their containers and moves, counted goods, levels, recalls, and files."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0005"
down_revision = "0004"


def upgrade() -> None:
    """Make the tables, each found by what is asked for."""
    _whole("supply_lot", "ingredient_id", "number", "status", "made_as", refers=_INGREDIENT)
    of_lot = ("lot_id", "supply_lot")
    _whole("stock_container", "number", "lot_id", "filled_from", refers=of_lot, unique="number")
    _whole("stock_move", "container_id", "preparation_lot", "cause", "person_id")
    _whole("counted_good")
    _whole("stock_level", "ingredient_id", refers=_INGREDIENT)
    _whole("recall")
    op.create_table(
        "file",
        sa.Column("sha256", sa.Text(), nullable=False),
        sa.Column("data", sa.LargeBinary(), nullable=False),
        sa.PrimaryKeyConstraint("sha256", name="pk_file"),
        sqlite_strict=True,
    )
    op.create_table(
        "counter",
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("last", sa.Integer(), nullable=False),
        sa.PrimaryKeyConstraint("name", name="pk_counter"),
        sqlite_strict=True,
    )
    for table, column in _INDEXED:
        op.create_index(f"ix_{table}_{column}", table, [column])


_INGREDIENT = ("ingredient_id", "ingredient")
_INDEXED = (
    ("supply_lot", "ingredient_id"),
    ("supply_lot", "made_as"),
    ("stock_container", "lot_id"),
    ("stock_container", "filled_from"),
    ("stock_move", "container_id"),
    ("stock_move", "preparation_lot"),
    ("stock_level", "ingredient_id"),
)


def _whole(
    table: str, *found_by: str, refers: tuple[str, str] | None = None, unique: str = ""
) -> None:
    """Make the table of a kind kept whole, with the columns it is found by."""
    constraints: list[sa.Constraint] = [sa.PrimaryKeyConstraint("id", name=f"pk_{table}")]
    if refers is not None:
        column, target = refers
        named = f"fk_{table}_{column}"
        constraints.append(sa.ForeignKeyConstraint([column], [f"{target}.id"], name=named))
    if unique:
        constraints.append(sa.UniqueConstraint(unique, name=f"uq_{table}_{unique}"))
    op.create_table(
        table,
        sa.Column("id", sa.Text(), nullable=False),
        sa.Column("revision", sa.Integer(), nullable=False),
        sa.Column("body", sa.Text(), nullable=False),
        *(sa.Column(name, sa.Text(), nullable=False) for name in found_by),
        *constraints,
        sqlite_strict=True,
    )
