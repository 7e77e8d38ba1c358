"""From records to rows and back: two plain functions for each kind of record."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from functools import lru_cache
from typing import Any, Generic, TypeVar

from formulary.acts import Act
from formulary.bench.kept import AloneAct, BenchEvent, BenchJob, FilledJar, KeptCheck
from formulary.bench.stages import Stage
from formulary.canonical import canonical_text, from_canonical_text, text_hash
from formulary.dossier import DossierItem
from formulary.drafts import Draft
from formulary.equipment import EquipmentNote
from formulary.errors import StoreTrouble
from formulary.folding import as_key, in_order
from formulary.formula.content import Content
from formulary.formula.read_mark import ReadMark
from formulary.formula.version import Formula, State, Version
from formulary.house import House
from formulary.house_layout import HouseLayout
from formulary.ingredient import Ingredient
from formulary.kept_calculation import KeptCalculation
from formulary.messages import message
from formulary.orders.order import Order
from formulary.patient import PatientDetails
from formulary.people import Identity, Part, Person, Post
from formulary.preparation import LabelPrint, Preparation
from formulary.quantity.amount import Amount
from formulary.reconstitution import Reconstitution
from formulary.records.moments import at_offset, offset_of
from formulary.records.tables import (
    AloneActRow,
    BalanceCheckRow,
    BenchEventRow,
    BenchJobRow,
    ComplaintRow,
    CountedGoodRow,
    DossierItemRow,
    DraftRow,
    EquipmentNoteRow,
    FilledJarRow,
    FormulaRow,
    HistoryRow,
    HouseLayoutRow,
    HouseRow,
    HouseRuleRow,
    IdentityRow,
    IngredientRow,
    KeptCalculationRow,
    LabelPrintRow,
    LevelRow,
    OrderRow,
    OverridingRow,
    PersonRow,
    PreparationRow,
    ReadMarkRow,
    RecallRow,
    ReconstitutionRow,
    RecordRow,
    StockContainerRow,
    StockMoveRow,
    SupplyLotRow,
    TriesRow,
    VersionRow,
    WholeRow,
    WordingBookRow,
)
from formulary.register.complaint import Complaint
from formulary.review.house_rules import HouseRule
from formulary.review.overriding import Overriding
from formulary.stock.container import StockContainer
from formulary.stock.counting import CountedGood
from formulary.stock.lot import SupplyLot
from formulary.stock.moves import StockMove
from formulary.stock.recall import Recall
from formulary.stock.shelf import Level
from formulary.store import Entry, Record
from formulary.tries import Tries
from formulary.wording.book import WordingBook
from formulary.wording.directions import Dosing

R = TypeVar("R", bound=Record)
T = TypeVar("T")


@lru_cache(maxsize=2048)
def _once(kind: type, text: str) -> object:
    """Return what a text says; the same text is the same record, which nobody can change."""
    return from_canonical_text(kind, text)


def _read(kind: type[T], text: str) -> T:
    record: T = _once(kind, text)  # type: ignore[arg-type,assignment]  # of the kind asked for
    return record


@dataclass(frozen=True, slots=True)
class Shelf(Generic[R]):
    """Where records of one kind stand and how they get there and back."""

    row: type[RecordRow]
    to_row: Callable[[R], RecordRow]
    of_row: Callable[[Any], R]


def shelf(kind: type[R]) -> Shelf[R]:
    """Return the shelf of a kind of record."""
    found: Shelf[R] = _SHELVES[kind]
    return found


def _whole(row: type[WholeRow], kind: type[R], *found_by: str) -> Shelf[R]:
    """Return the shelf of a kind kept whole, with the fields that have a column to be found by."""

    def to_row(record: R) -> RecordRow:
        columns = {name: getattr(record, name) for name in found_by}
        body = canonical_text(record)
        return row(id=record.id, revision=record.revision, body=body, **columns)

    return Shelf(row, to_row, lambda kept: _read(kind, kept.body))


def _house_row(house: House) -> HouseRow:
    return HouseRow(
        id=house.id,
        revision=house.revision,
        name=house.name,
        lot_prefix=house.lot_prefix,
        body=canonical_text(house),
    )


def _house_of(row: HouseRow) -> House:
    return _read(House, row.body)


def _person_row(person: Person) -> PersonRow:
    return PersonRow(
        id=person.id,
        revision=person.revision,
        name=person.name,
        post=person.post,
        pin_hash=person.pin_hash,
        gone=person.gone,
    )


def _person_of(row: PersonRow) -> Person:
    return Person(row.id, row.name, Post(row.post), row.pin_hash, row.gone, row.revision)


def _identity_row(identity: Identity) -> IdentityRow:
    details = identity.details
    return IdentityRow(
        id=identity.id,
        revision=identity.revision,
        part=identity.part,
        name=identity.name,
        details="" if details is None else canonical_text(details, "patient details"),
        seal=identity.seal,
    )


def _identity_of(row: IdentityRow) -> Identity:
    details = from_canonical_text(PatientDetails, row.details) if row.details else None
    return Identity(row.id, Part(row.part), row.name, details, row.revision, row.seal)


def _ingredient_row(ingredient: Ingredient) -> IngredientRow:
    return IngredientRow(
        id=ingredient.id,
        revision=ingredient.revision,
        name=ingredient.name,
        name_key=as_key(ingredient.name),
        body=canonical_text(ingredient),
    )


def ingredient_of(row: IngredientRow) -> Ingredient:
    """Return the ingredient that a row keeps."""
    return _read(Ingredient, row.body)


def _formula_row(formula: Formula) -> FormulaRow:
    return FormulaRow(
        id=formula.id,
        revision=formula.revision,
        code=formula.code,
        title=formula.title,
        code_key=as_key(formula.code),
        title_key=as_key(formula.title),
    )


def formula_of(row: FormulaRow) -> Formula:
    """Return the formula that a row keeps."""
    return Formula(row.id, row.code, row.title, row.revision)


def _version_row(version: Version) -> VersionRow:
    content = canonical_text(version.content)
    return VersionRow(
        id=version.id,
        revision=version.revision,
        formula_id=version.formula_id,
        number=version.number,
        state=version.state,
        content=content,
        content_hash=text_hash(content),
        reason=version.reason,
        author_id=version.author_id,
        earlier_authors=" ".join(version.earlier_author_ids),
        written_at=version.written_at,
        written_offset=_offset(version.written_at),
        approver_id=version.approver_id,
        approved_at=version.approved_at,
        approved_offset=_offset(version.approved_at),
        order_id=version.order_id,
    )


def version_of(row: VersionRow) -> Version:
    """Return the version; raises StoreTrouble where its content isn't what was written."""
    if text_hash(row.content) != row.content_hash:
        raise StoreTrouble(message("store.content_damaged", number=row.number))
    return Version(
        id=row.id,
        formula_id=row.formula_id,
        number=row.number,
        content=_read(Content, row.content),
        state=State(row.state),
        reason=row.reason,
        author_id=row.author_id,
        earlier_author_ids=tuple(row.earlier_authors.split()),
        written_at=_moment(row.written_at, row.written_offset),
        approver_id=row.approver_id,
        approved_at=_moment(row.approved_at, row.approved_offset),
        order_id=row.order_id,
        revision=row.revision,
    )


def _preparation_row(preparation: Preparation) -> PreparationRow:
    return PreparationRow(
        id=preparation.id,
        revision=preparation.revision,
        lot=preparation.lot,
        version_id=preparation.version_id,
        formula_id=preparation.formula_id,
        code=preparation.code,
        title=preparation.title,
        version_number=preparation.version_number,
        target=preparation.target,
        plan=preparation.plan,
        containers=preparation.containers,
        fill_amount=preparation.fill.number,
        fill_unit=preparation.fill.unit,
        made_on=preparation.made_on,
        use_by=preparation.use_by,
        started_at=preparation.started_at,
        started_offset=offset_of(preparation.started_at),
        started_by=preparation.started_by,
        stage=preparation.stage,
        directions=preparation.directions,
        patient_id=preparation.patient_id,
        prescriber_id=preparation.prescriber_id,
        sample=preparation.sample,
        workstation=preparation.workstation,
        order_id=preparation.order_id,
        language=preparation.language,
        dosing=canonical_text(preparation.dosing, "dosing") if preparation.dosing else "",
        dating=preparation.dating,
        searched=in_order(f"{preparation.lot} {preparation.code} {preparation.title}"),
    )


def preparation_of(row: PreparationRow) -> Preparation:
    """Return the preparation that a row keeps."""
    return Preparation(
        id=row.id,
        lot=row.lot,
        version_id=row.version_id,
        formula_id=row.formula_id,
        code=row.code,
        title=row.title,
        version_number=row.version_number,
        target=row.target,
        plan=row.plan,
        containers=row.containers,
        fill=Amount(row.fill_amount, row.fill_unit),
        made_on=row.made_on,
        use_by=row.use_by,
        started_at=at_offset(row.started_at, row.started_offset),
        started_by=row.started_by,
        stage=Stage(row.stage),
        directions=row.directions,
        patient_id=row.patient_id,
        prescriber_id=row.prescriber_id,
        sample=row.sample,
        workstation=row.workstation,
        order_id=row.order_id,
        language=row.language,
        dosing=from_canonical_text(Dosing, row.dosing) if row.dosing else None,
        dating=row.dating,
        revision=row.revision,
    )


def _label_print_row(printed: LabelPrint) -> LabelPrintRow:
    return LabelPrintRow(
        id=printed.id,
        revision=printed.revision,
        preparation_id=printed.preparation_id,
        lot=printed.lot,
        stock=printed.stock,
        language=printed.language,
        copies=printed.copies,
        content=printed.content,
        printed_at=printed.printed_at,
        printed_offset=offset_of(printed.printed_at),
        printed_by=printed.printed_by,
        proof=printed.proof,
        containers=printed.containers,
        leaflets=printed.leaflets,
        layout=printed.layout,
        drawn=printed.drawn,
    )


def label_print_of(row: LabelPrintRow) -> LabelPrint:
    """Return the label print that a row keeps."""
    return LabelPrint(
        id=row.id,
        preparation_id=row.preparation_id,
        lot=row.lot,
        stock=row.stock,
        language=row.language,
        copies=row.copies,
        content=row.content,
        printed_at=at_offset(row.printed_at, row.printed_offset),
        printed_by=row.printed_by,
        proof=row.proof,
        containers=row.containers,
        leaflets=row.leaflets,
        layout=row.layout,
        drawn=row.drawn,
        revision=row.revision,
    )


def _draft_row(draft: Draft) -> DraftRow:
    return DraftRow(
        id=draft.id,
        revision=draft.revision,
        person_id=draft.person_id,
        based_on=draft.based_on,
        fields=draft.fields,
        kept_at=draft.kept_at,
        kept_offset=offset_of(draft.kept_at),
    )


def _draft_of(row: DraftRow) -> Draft:
    kept_at = at_offset(row.kept_at, row.kept_offset)
    return Draft(row.id, row.person_id, row.based_on, row.fields, kept_at, row.revision)


def history_row(entry: Entry) -> HistoryRow:
    """Return the row that keeps a history entry."""
    return HistoryRow(
        number=entry.number,
        verb=entry.verb,
        person_id=entry.act.person_id,
        person=entry.act.person,
        role=entry.act.role,
        workstation=entry.act.workstation,
        at_utc=entry.act.at,
        offset_minutes=offset_of(entry.act.at),
        reason=entry.act.reason,
        details=entry.details,
        previous=entry.previous,
        hash=entry.hash,
    )


def entry_of(row: HistoryRow) -> Entry:
    """Return the history entry that a row keeps."""
    at = at_offset(row.at_utc, row.offset_minutes)
    act = Act(row.person_id, row.person, row.role, row.workstation, at, row.reason)
    return Entry(row.number, row.verb, act, row.details, row.previous, row.hash)


def _offset(moment: datetime | None) -> int | None:
    return None if moment is None else offset_of(moment)


def _moment(moment: datetime | None, offset: int | None) -> datetime | None:
    return None if moment is None else at_offset(moment, offset or 0)


_SHELVES: dict[type, Shelf[Any]] = {
    House: Shelf(HouseRow, _house_row, _house_of),
    Person: Shelf(PersonRow, _person_row, _person_of),
    Identity: Shelf(IdentityRow, _identity_row, _identity_of),
    Ingredient: Shelf(IngredientRow, _ingredient_row, ingredient_of),
    Formula: Shelf(FormulaRow, _formula_row, formula_of),
    Version: Shelf(VersionRow, _version_row, version_of),
    Preparation: Shelf(PreparationRow, _preparation_row, preparation_of),
    LabelPrint: Shelf(LabelPrintRow, _label_print_row, label_print_of),
    Draft: Shelf(DraftRow, _draft_row, _draft_of),
    KeptCalculation: _whole(KeptCalculationRow, KeptCalculation, "subject_id"),
    Tries: _whole(TriesRow, Tries),
    BenchJob: _whole(BenchJobRow, BenchJob),
    KeptCheck: _whole(BalanceCheckRow, KeptCheck, "day"),
    BenchEvent: _whole(BenchEventRow, BenchEvent, "preparation_id"),
    FilledJar: _whole(FilledJarRow, FilledJar, "preparation_id", "place", "recipient_id"),
    AloneAct: _whole(AloneActRow, AloneAct, "waits_for"),
    SupplyLot: _whole(SupplyLotRow, SupplyLot, "ingredient_id", "number", "status", "made_as"),
    StockContainer: _whole(StockContainerRow, StockContainer, "number", "lot_id", "filled_from"),
    StockMove: _whole(
        StockMoveRow, StockMove, "container_id", "preparation_lot", "cause", "person_id"
    ),
    CountedGood: _whole(CountedGoodRow, CountedGood),
    Level: _whole(LevelRow, Level, "ingredient_id"),
    Recall: _whole(RecallRow, Recall),
    Complaint: _whole(ComplaintRow, Complaint, "preparation_id"),
    Order: _whole(OrderRow, Order, "number", "state"),
    WordingBook: _whole(WordingBookRow, WordingBook),
    HouseRule: _whole(HouseRuleRow, HouseRule),
    Overriding: _whole(OverridingRow, Overriding, "version_id"),
    DossierItem: _whole(DossierItemRow, DossierItem, "formula_id"),
    ReadMark: _whole(ReadMarkRow, ReadMark, "version_id"),
    HouseLayout: _whole(HouseLayoutRow, HouseLayout, "stock"),
    EquipmentNote: _whole(EquipmentNoteRow, EquipmentNote, "subject", "day"),
    Reconstitution: _whole(ReconstitutionRow, Reconstitution, "day"),
}
