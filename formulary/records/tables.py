"""The tables as classes of rows. What they mean in the trade is said in ``formulary``'s records.

Patients' and prescribers' names stand in ``identity`` and nowhere else.
"""

from __future__ import annotations

from datetime import date, datetime
from fractions import Fraction

from sqlalchemy import ForeignKey, Index, Integer, LargeBinary, MetaData, Text
from sqlalchemy.orm import DeclarativeBase, Mapped, MappedAsDataclass, mapped_column

from formulary.records.columns import ByteOrder, Exact, Flag, IsoDate, Long, UnderKey, UtcMoment

NAMING = {
    "ix": "ix_%(column_0_label)s",
    "uq": "uq_%(table_name)s_%(column_0_name)s",
    "fk": "fk_%(table_name)s_%(column_0_name)s",
    "pk": "pk_%(table_name)s",
}


class Row(MappedAsDataclass, DeclarativeBase, kw_only=True, repr=False, eq=False):
    """A row of any table; every type keeps within SQLite's STRICT tables."""

    metadata = MetaData(naming_convention=NAMING)
    type_annotation_map = {  # noqa: RUF012  SQLAlchemy declares it so
        str: Text(),
        int: Integer(),
        bool: Flag(),
        Fraction: Exact(),
        datetime: UtcMoment(),
        date: IsoDate(),
    }
    __table_args__ = ({"sqlite_strict": True},)


class RecordRow(Row):
    """A row with the record's id and the revision that guards it."""

    __abstract__ = True

    id: Mapped[str] = mapped_column(primary_key=True, sort_order=-2)
    revision: Mapped[int] = mapped_column(sort_order=-1)


class WholeRow(RecordRow):
    """A record kept whole in ``body``; its other columns only serve to find it."""

    __abstract__ = True

    body: Mapped[str]


class HouseRow(RecordRow):
    """The house: all its settings in ``body``."""

    __tablename__ = "house"

    name: Mapped[str]
    lot_prefix: Mapped[str]
    body: Mapped[str]


class PersonRow(RecordRow):
    """Somebody who works here."""

    __tablename__ = "person"

    name: Mapped[str]
    post: Mapped[str]
    pin_hash: Mapped[str]
    gone: Mapped[bool]


class IdentityRow(RecordRow):
    """A patient's or prescriber's name and what else is known of them, in no other table."""

    __tablename__ = "identity"

    part: Mapped[str]
    name: Mapped[str] = mapped_column(UnderKey)
    details: Mapped[str] = mapped_column(UnderKey)
    seal: Mapped[str]


class IngredientRow(RecordRow):
    """An ingredient: its folded name to find it by, the rest in ``body``."""

    __tablename__ = "ingredient"

    name: Mapped[str]
    name_key: Mapped[str] = mapped_column(index=True)
    body: Mapped[str]


class FormulaRow(RecordRow):
    """A formula's code and title, and both folded to find it by."""

    __tablename__ = "formula"

    code: Mapped[str]
    title: Mapped[str]
    code_key: Mapped[str] = mapped_column(index=True)
    title_key: Mapped[str] = mapped_column(index=True)


class VersionRow(RecordRow):
    """A version; ``content`` is its canonical text and ``content_hash`` that text's SHA-256."""

    __tablename__ = "version"

    formula_id: Mapped[str] = mapped_column(ForeignKey("formula.id"), index=True)
    number: Mapped[int]
    state: Mapped[str]
    content: Mapped[str]
    content_hash: Mapped[str]
    reason: Mapped[str]
    author_id: Mapped[str]
    earlier_authors: Mapped[str]
    written_at: Mapped[datetime | None]
    written_offset: Mapped[int | None]
    approver_id: Mapped[str]
    approved_at: Mapped[datetime | None]
    approved_offset: Mapped[int | None]
    order_id: Mapped[str]


class VersionLineRow(Row):
    """A line of a version's content, derived from it, for questions that SQL answers.

    ``scaled`` is the amount in nanograms, nanolitres or millionths of its unit, to sort and sum;
    the exact figure is ``amount``.
    """

    __tablename__ = "version_line"

    version_id: Mapped[str] = mapped_column(
        ForeignKey("version.id", ondelete="CASCADE"), primary_key=True
    )
    position: Mapped[int] = mapped_column(primary_key=True)
    ingredient: Mapped[str]
    ingredient_key: Mapped[str] = mapped_column(index=True)
    ingredient_id: Mapped[str] = mapped_column(index=True)
    role: Mapped[str]
    kind: Mapped[str]
    amount: Mapped[Fraction | None]
    unit: Mapped[str]
    scaled: Mapped[int | None] = mapped_column(Long)


class PreparationRow(RecordRow):
    """A preparation under its lot; ``searched`` is what the register finds it by."""

    __tablename__ = "preparation"

    lot: Mapped[str] = mapped_column(unique=True)
    version_id: Mapped[str] = mapped_column(ForeignKey("version.id"), index=True)
    formula_id: Mapped[str] = mapped_column(ForeignKey("formula.id"), index=True)
    code: Mapped[str]
    title: Mapped[str]
    version_number: Mapped[int]
    target: Mapped[str]
    plan: Mapped[str]
    containers: Mapped[int]
    fill_amount: Mapped[Fraction]
    fill_unit: Mapped[str]
    made_on: Mapped[date]
    use_by: Mapped[date] = mapped_column(index=True)
    started_at: Mapped[datetime] = mapped_column(index=True)
    started_offset: Mapped[int]
    started_by: Mapped[str]
    stage: Mapped[str]
    directions: Mapped[str]
    patient_id: Mapped[str]
    prescriber_id: Mapped[str]
    sample: Mapped[bool]
    workstation: Mapped[str]
    order_id: Mapped[str] = mapped_column(index=True)
    language: Mapped[str]
    dosing: Mapped[str]
    dating: Mapped[str]
    searched: Mapped[str]


Index(
    "ix_preparation_stage_started_at",
    PreparationRow.stage,
    PreparationRow.started_at,
    PreparationRow.id,
)


class LabelPrintRow(RecordRow):
    """One print of a preparation's label."""

    __tablename__ = "label_print"

    preparation_id: Mapped[str] = mapped_column(ForeignKey("preparation.id"), index=True)
    lot: Mapped[str]
    stock: Mapped[str]
    language: Mapped[str]
    copies: Mapped[int]
    content: Mapped[str]
    printed_at: Mapped[datetime]
    printed_offset: Mapped[int]
    printed_by: Mapped[str]
    proof: Mapped[bool]
    containers: Mapped[int]
    leaflets: Mapped[int]
    layout: Mapped[int]
    drawn: Mapped[str]


class DraftRow(RecordRow):
    """An open editor's fields."""

    __tablename__ = "draft"

    person_id: Mapped[str]
    based_on: Mapped[str]
    fields: Mapped[str]
    kept_at: Mapped[datetime]
    kept_offset: Mapped[int]


class KeptCalculationRow(WholeRow):
    """A calculation kept with a formula or a preparation."""

    __tablename__ = "kept_calculation"

    subject_id: Mapped[str] = mapped_column(index=True)


class BenchJobRow(WholeRow):
    """What was fixed when a preparation was planned, under its id."""

    __tablename__ = "bench_job"


class BenchEventRow(WholeRow):
    """One event of a preparation; its id ends with the event's number."""

    __tablename__ = "bench_event"

    preparation_id: Mapped[str] = mapped_column(index=True)


class FilledJarRow(WholeRow):
    """A filled jar; its id ends with its number."""

    __tablename__ = "filled_jar"

    preparation_id: Mapped[str] = mapped_column(index=True)
    place: Mapped[str] = mapped_column(index=True)
    recipient_id: Mapped[str]


class ComplaintRow(WholeRow):
    """What was told about a preparation, and what was decided."""

    __tablename__ = "complaint"

    preparation_id: Mapped[str] = mapped_column(index=True)


class AloneActRow(WholeRow):
    """An act that somebody did alone."""

    __tablename__ = "alone_act"

    waits_for: Mapped[str] = mapped_column(index=True)


class BalanceCheckRow(WholeRow):
    """One check of a balance with its test weights."""

    __tablename__ = "balance_check"

    day: Mapped[str] = mapped_column(index=True)


class TriesRow(WholeRow):
    """Wrong PINs in a row, under the person's id."""

    __tablename__ = "tries"


class SupplyLotRow(WholeRow):
    """A lot of an ingredient, from a supplier or made here."""

    __tablename__ = "supply_lot"

    ingredient_id: Mapped[str] = mapped_column(ForeignKey("ingredient.id"), index=True)
    number: Mapped[str]
    status: Mapped[str]
    made_as: Mapped[str] = mapped_column(index=True)


class StockContainerRow(WholeRow):
    """A container of a lot."""

    __tablename__ = "stock_container"

    number: Mapped[str] = mapped_column(unique=True)
    lot_id: Mapped[str] = mapped_column(ForeignKey("supply_lot.id"), index=True)
    filled_from: Mapped[str] = mapped_column(index=True)


class StockMoveRow(WholeRow):
    """One change of what a container holds, or of how many pieces of a counted good there are."""

    __tablename__ = "stock_move"

    container_id: Mapped[str] = mapped_column(index=True)
    preparation_lot: Mapped[str] = mapped_column(index=True)
    cause: Mapped[str]
    person_id: Mapped[str]


class CountedGoodRow(WholeRow):
    """Jars, closures or labels."""

    __tablename__ = "counted_good"


class LevelRow(WholeRow):
    """The least of an ingredient that is wanted on the shelf."""

    __tablename__ = "stock_level"

    ingredient_id: Mapped[str] = mapped_column(ForeignKey("ingredient.id"), index=True)


class RecallRow(WholeRow):
    """A recall with what it froze and who is called."""

    __tablename__ = "recall"


class OrderRow(WholeRow):
    """An order, its patient and prescriber by their ids alone."""

    __tablename__ = "orders"

    number: Mapped[str] = mapped_column(unique=True)
    state: Mapped[str] = mapped_column(index=True)


class WordingBookRow(WholeRow):
    """What the house says in one language, under that language's code."""

    __tablename__ = "wording_book"


class HouseRuleRow(WholeRow):
    """A rule that the house adds to its review, or silences there."""

    __tablename__ = "house_rule"


class HouseLayoutRow(WholeRow):
    """A version of the house's own layout for labels of a stock."""

    __tablename__ = "house_layout"

    stock: Mapped[str] = mapped_column(index=True)


class OverridingRow(WholeRow):
    """Why a finding on a version may stand."""

    __tablename__ = "overriding"

    version_id: Mapped[str] = mapped_column(ForeignKey("version.id"), index=True)


class DossierItemRow(WholeRow):
    """A part of a formula's dossier."""

    __tablename__ = "dossier_item"

    formula_id: Mapped[str] = mapped_column(ForeignKey("formula.id"), index=True)


class ReadMarkRow(WholeRow):
    """That somebody read a version."""

    __tablename__ = "read_mark"

    version_id: Mapped[str] = mapped_column(ForeignKey("version.id"), index=True)


class EquipmentNoteRow(WholeRow):
    """One entry of the log of instruments, machines and the room."""

    __tablename__ = "equipment_note"

    subject: Mapped[str] = mapped_column(index=True)
    day: Mapped[str] = mapped_column(index=True)


class ReconstitutionRow(WholeRow):
    """A marketed product made up by its label."""

    __tablename__ = "reconstitution"

    day: Mapped[str] = mapped_column(index=True)


class FileRow(Row):
    """A file under its SHA-256, by which it is seen whether it is still what was kept."""

    __tablename__ = "file"

    sha256: Mapped[str] = mapped_column(primary_key=True)
    data: Mapped[bytes] = mapped_column(LargeBinary)


class CounterRow(Row):
    """The last running number given of one kind."""

    __tablename__ = "counter"

    name: Mapped[str] = mapped_column(primary_key=True)
    last: Mapped[int]


class LotCounterRow(Row):
    """The last lot number given in a year."""

    __tablename__ = "lot_counter"

    year: Mapped[int] = mapped_column(primary_key=True, autoincrement=False)
    last: Mapped[int]


class HistoryRow(Row):
    """One entry of the history; triggers keep it from being changed or removed."""

    __tablename__ = "history"

    number: Mapped[int] = mapped_column(primary_key=True, autoincrement=False)
    verb: Mapped[str]
    person_id: Mapped[str]
    person: Mapped[str]
    role: Mapped[str]
    workstation: Mapped[str]
    at_utc: Mapped[datetime]
    offset_minutes: Mapped[int]
    reason: Mapped[str]
    details: Mapped[str]
    previous: Mapped[str]
    hash: Mapped[str]


class ChainHeadRow(Row):
    """The last entry's number and hash, in one row that each transaction locks."""

    __tablename__ = "chain_head"

    id: Mapped[int] = mapped_column(primary_key=True, autoincrement=False)
    number: Mapped[int]
    hash: Mapped[str]


class FormulaSearchRow(Row):
    """What the list shows of a formula, and the folded text under which it is found.

    ``number`` ties it to the full-text index, in which a row keeps its number for good.
    """

    __tablename__ = "formula_search"
    number: Mapped[int] = mapped_column(primary_key=True, init=False)
    formula_id: Mapped[str] = mapped_column(ForeignKey("formula.id"), unique=True)
    version_id: Mapped[str] = mapped_column(ForeignKey("version.id"))
    code: Mapped[str]
    title: Mapped[str]
    form: Mapped[str]
    state: Mapped[str]
    keeping: Mapped[str]
    code_order: Mapped[str] = mapped_column(ByteOrder)
    title_order: Mapped[str] = mapped_column(ByteOrder)
    folded: Mapped[str]


Index("ix_formula_search_title_order", FormulaSearchRow.title_order, FormulaSearchRow.number)
Index("ix_formula_search_code_order", FormulaSearchRow.code_order, FormulaSearchRow.number)
