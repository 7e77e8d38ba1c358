"""The first tables, the full-text index over formulas, and the guard of the history."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None

LONG = sa.Integer().with_variant(sa.BigInteger(), "postgresql")
BYTE_ORDER = sa.Text().with_variant(sa.Text(collation="C"), "postgresql")

# An index of its own for each word's first letters makes every word a prefix as somebody types.
# The text is folded already; the tokenizer only has to part words.
SQLITE_SEARCH = (
    """
    CREATE VIRTUAL TABLE formula_words USING fts5(
        folded, content='formula_search', content_rowid='number',
        tokenize='unicode61 remove_diacritics 0', prefix='1 2 3'
    )
    """,
    """
    CREATE TRIGGER formula_search_ai AFTER INSERT ON formula_search BEGIN
        INSERT INTO formula_words(rowid, folded) VALUES (new.number, new.folded);
    END
    """,
    """
    CREATE TRIGGER formula_search_ad AFTER DELETE ON formula_search BEGIN
        INSERT INTO formula_words(formula_words, rowid, folded)
        VALUES ('delete', old.number, old.folded);
    END
    """,
    """
    CREATE TRIGGER formula_search_au AFTER UPDATE OF folded ON formula_search BEGIN
        INSERT INTO formula_words(formula_words, rowid, folded)
        VALUES ('delete', old.number, old.folded);
        INSERT INTO formula_words(rowid, folded) VALUES (new.number, new.folded);
    END
    """,
)
# The words as they are, since a text search parser would part or join some of them otherwise.
POSTGRES_SEARCH = (
    """
    ALTER TABLE formula_search ADD COLUMN tokens tsvector NOT NULL
    GENERATED ALWAYS AS (array_to_tsvector(string_to_array(folded, ' '))) STORED
    """,
    "CREATE INDEX ix_formula_search_tokens ON formula_search USING gin (tokens)",
)

SQLITE_GUARD = (
    """
    CREATE TRIGGER history_no_update BEFORE UPDATE ON history BEGIN
        SELECT RAISE(ABORT, 'the history is never changed');
    END
    """,
    """
    CREATE TRIGGER history_no_delete BEFORE DELETE ON history BEGIN
        SELECT RAISE(ABORT, 'the history is never changed');
    END
    """,
)
POSTGRES_GUARD = (
    """
    CREATE FUNCTION history_stays() RETURNS trigger LANGUAGE plpgsql AS
    $$ BEGIN RAISE EXCEPTION 'the history is never changed'; END $$
    """,
    """
    CREATE TRIGGER history_no_change BEFORE UPDATE OR DELETE ON history
    FOR EACH ROW EXECUTE FUNCTION history_stays()
    """,
    """
    CREATE TRIGGER history_no_truncate BEFORE TRUNCATE ON history
    FOR EACH STATEMENT EXECUTE FUNCTION history_stays()
    """,
)


def upgrade() -> None:
    """Make the tables, then what only one of the engines understands."""
    _people()
    _formulas()
    _work()
    _history()
    _search()
    on_sqlite = op.get_context().dialect.name == "sqlite"
    search = SQLITE_SEARCH if on_sqlite else POSTGRES_SEARCH
    guard = SQLITE_GUARD if on_sqlite else POSTGRES_GUARD
    for statement in (*search, *guard):
        op.execute(statement)


def _people() -> None:
    op.create_table(
        "house",
        sa.Column("id", sa.Text(), nullable=False),
        sa.Column("revision", sa.Integer(), nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("lot_prefix", sa.Text(), nullable=False),
        sa.Column("body", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_house"),
        sqlite_strict=True,
    )
    op.create_table(
        "person",
        sa.Column("id", sa.Text(), nullable=False),
        sa.Column("revision", sa.Integer(), nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("post", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_person"),
        sqlite_strict=True,
    )
    op.create_table(
        "identity",
        sa.Column("id", sa.Text(), nullable=False),
        sa.Column("revision", sa.Integer(), nullable=False),
        sa.Column("part", sa.Text(), nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_identity"),
        sqlite_strict=True,
    )


def _formulas() -> None:
    op.create_table(
        "ingredient",
        sa.Column("id", sa.Text(), nullable=False),
        sa.Column("revision", sa.Integer(), nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("name_key", sa.Text(), nullable=False),
        sa.Column("body", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_ingredient"),
        sqlite_strict=True,
    )
    op.create_index("ix_ingredient_name_key", "ingredient", ["name_key"])
    op.create_table(
        "formula",
        sa.Column("id", sa.Text(), nullable=False),
        sa.Column("revision", sa.Integer(), nullable=False),
        sa.Column("code", sa.Text(), nullable=False),
        sa.Column("title", sa.Text(), nullable=False),
        sa.Column("code_key", sa.Text(), nullable=False),
        sa.Column("title_key", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_formula"),
        sqlite_strict=True,
    )
    op.create_index("ix_formula_code_key", "formula", ["code_key"])
    op.create_index("ix_formula_title_key", "formula", ["title_key"])
    op.create_table(
        "version",
        sa.Column("id", sa.Text(), nullable=False),
        sa.Column("revision", sa.Integer(), nullable=False),
        sa.Column("formula_id", sa.Text(), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("state", sa.Text(), nullable=False),
        sa.Column("content", sa.Text(), nullable=False),
        sa.Column("content_hash", sa.Text(), nullable=False),
        sa.Column("reason", sa.Text(), nullable=False),
        sa.Column("author_id", sa.Text(), nullable=False),
        sa.Column("written_at", sa.Text(), nullable=True),
        sa.Column("written_offset", sa.Integer(), nullable=True),
        sa.Column("approver_id", sa.Text(), nullable=False),
        sa.Column("approved_at", sa.Text(), nullable=True),
        sa.Column("approved_offset", sa.Integer(), nullable=True),
        sa.PrimaryKeyConstraint("id", name="pk_version"),
        sa.ForeignKeyConstraint(["formula_id"], ["formula.id"], name="fk_version_formula_id"),
        sqlite_strict=True,
    )
    op.create_index("ix_version_formula_id", "version", ["formula_id"])
    op.create_table(
        "version_line",
        sa.Column("version_id", sa.Text(), nullable=False),
        sa.Column("position", sa.Integer(), nullable=False),
        sa.Column("ingredient", sa.Text(), nullable=False),
        sa.Column("ingredient_key", sa.Text(), nullable=False),
        sa.Column("ingredient_id", sa.Text(), nullable=False),
        sa.Column("role", sa.Text(), nullable=False),
        sa.Column("kind", sa.Text(), nullable=False),
        sa.Column("amount", sa.Text(), nullable=True),
        sa.Column("unit", sa.Text(), nullable=False),
        sa.Column("scaled", LONG, nullable=True),
        sa.PrimaryKeyConstraint("version_id", "position", name="pk_version_line"),
        sa.ForeignKeyConstraint(
            ["version_id"], ["version.id"], name="fk_version_line_version_id", ondelete="CASCADE"
        ),
        sqlite_strict=True,
    )
    op.create_index("ix_version_line_ingredient_id", "version_line", ["ingredient_id"])
    op.create_index("ix_version_line_ingredient_key", "version_line", ["ingredient_key"])


def _work() -> None:
    op.create_table(
        "preparation",
        sa.Column("id", sa.Text(), nullable=False),
        sa.Column("revision", sa.Integer(), nullable=False),
        sa.Column("lot", sa.Text(), nullable=False),
        sa.Column("version_id", sa.Text(), nullable=False),
        sa.Column("formula_id", sa.Text(), nullable=False),
        sa.Column("code", sa.Text(), nullable=False),
        sa.Column("title", sa.Text(), nullable=False),
        sa.Column("version_number", sa.Integer(), nullable=False),
        sa.Column("target", sa.Text(), nullable=False),
        sa.Column("plan", sa.Text(), nullable=False),
        sa.Column("containers", sa.Integer(), nullable=False),
        sa.Column("fill_amount", sa.Text(), nullable=False),
        sa.Column("fill_unit", sa.Text(), nullable=False),
        sa.Column("made_on", sa.Text(), nullable=False),
        sa.Column("use_by", sa.Text(), nullable=False),
        sa.Column("started_at", sa.Text(), nullable=False),
        sa.Column("started_offset", sa.Integer(), nullable=False),
        sa.Column("started_by", sa.Text(), nullable=False),
        sa.Column("stage", sa.Text(), nullable=False),
        sa.Column("directions", sa.Text(), nullable=False),
        sa.Column("patient_id", sa.Text(), nullable=False),
        sa.Column("prescriber_id", sa.Text(), nullable=False),
        sa.Column("sample", sa.Integer(), nullable=False),
        sa.Column("searched", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_preparation"),
        sa.ForeignKeyConstraint(["formula_id"], ["formula.id"], name="fk_preparation_formula_id"),
        sa.ForeignKeyConstraint(["version_id"], ["version.id"], name="fk_preparation_version_id"),
        sa.UniqueConstraint("lot", name="uq_preparation_lot"),
        sqlite_strict=True,
    )
    op.create_index("ix_preparation_formula_id", "preparation", ["formula_id"])
    op.create_index("ix_preparation_started_at", "preparation", ["started_at"])
    op.create_index("ix_preparation_version_id", "preparation", ["version_id"])
    op.create_table(
        "label_print",
        sa.Column("id", sa.Text(), nullable=False),
        sa.Column("revision", sa.Integer(), nullable=False),
        sa.Column("preparation_id", sa.Text(), nullable=False),
        sa.Column("lot", sa.Text(), nullable=False),
        sa.Column("stock", sa.Text(), nullable=False),
        sa.Column("language", sa.Text(), nullable=False),
        sa.Column("copies", sa.Integer(), nullable=False),
        sa.Column("content", sa.Text(), nullable=False),
        sa.Column("printed_at", sa.Text(), nullable=False),
        sa.Column("printed_offset", sa.Integer(), nullable=False),
        sa.Column("printed_by", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_label_print"),
        sa.ForeignKeyConstraint(
            ["preparation_id"], ["preparation.id"], name="fk_label_print_preparation_id"
        ),
        sqlite_strict=True,
    )
    op.create_index("ix_label_print_preparation_id", "label_print", ["preparation_id"])
    op.create_table(
        "draft",
        sa.Column("id", sa.Text(), nullable=False),
        sa.Column("revision", sa.Integer(), nullable=False),
        sa.Column("person_id", sa.Text(), nullable=False),
        sa.Column("based_on", sa.Text(), nullable=False),
        sa.Column("fields", sa.Text(), nullable=False),
        sa.Column("kept_at", sa.Text(), nullable=False),
        sa.Column("kept_offset", sa.Integer(), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_draft"),
        sqlite_strict=True,
    )
    op.create_table(
        "lot_counter",
        sa.Column("year", sa.Integer(), nullable=False, autoincrement=False),
        sa.Column("last", sa.Integer(), nullable=False),
        sa.PrimaryKeyConstraint("year", name="pk_lot_counter"),
        sqlite_strict=True,
    )


def _history() -> None:
    op.create_table(
        "history",
        sa.Column("number", sa.Integer(), nullable=False, autoincrement=False),
        sa.Column("verb", sa.Text(), nullable=False),
        sa.Column("person_id", sa.Text(), nullable=False),
        sa.Column("person", sa.Text(), nullable=False),
        sa.Column("role", sa.Text(), nullable=False),
        sa.Column("workstation", sa.Text(), nullable=False),
        sa.Column("at_utc", sa.Text(), nullable=False),
        sa.Column("offset_minutes", sa.Integer(), nullable=False),
        sa.Column("reason", sa.Text(), nullable=False),
        sa.Column("details", sa.Text(), nullable=False),
        sa.Column("previous", sa.Text(), nullable=False),
        sa.Column("hash", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("number", name="pk_history"),
        sqlite_strict=True,
    )
    head = op.create_table(
        "chain_head",
        sa.Column("id", sa.Integer(), nullable=False, autoincrement=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("hash", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_chain_head"),
        sqlite_strict=True,
    )
    op.bulk_insert(head, [{"id": 1, "number": 0, "hash": "0" * 64}])


def _search() -> None:
    op.create_table(
        "formula_search",
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("formula_id", sa.Text(), nullable=False),
        sa.Column("version_id", sa.Text(), nullable=False),
        sa.Column("code", sa.Text(), nullable=False),
        sa.Column("title", sa.Text(), nullable=False),
        sa.Column("form", sa.Text(), nullable=False),
        sa.Column("state", sa.Text(), nullable=False),
        sa.Column("keeping", sa.Text(), nullable=False),
        sa.Column("code_order", BYTE_ORDER, nullable=False),
        sa.Column("title_order", BYTE_ORDER, nullable=False),
        sa.Column("folded", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("number", name="pk_formula_search"),
        sa.ForeignKeyConstraint(
            ["formula_id"], ["formula.id"], name="fk_formula_search_formula_id"
        ),
        sa.ForeignKeyConstraint(
            ["version_id"], ["version.id"], name="fk_formula_search_version_id"
        ),
        sa.UniqueConstraint("formula_id", name="uq_formula_search_formula_id"),
        sqlite_strict=True,
    )
    op.create_index("ix_formula_search_code_order", "formula_search", ["code_order", "number"])
    op.create_index("ix_formula_search_title_order", "formula_search", ["title_order", "number"])
