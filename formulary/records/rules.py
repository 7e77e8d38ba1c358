"""What may be put and removed, whatever keeps it. Pure but for the chance in a seal."""

from __future__ import annotations

import hashlib
import secrets
from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import TypeVar

from formulary.bench.kept import BenchEvent, BenchJob, FilledJar, KeptCheck
from formulary.bench.stages import Stage, is_earlier
from formulary.canonical import KINDS, from_plain, to_plain
from formulary.drafts import Draft
from formulary.errors import Conflict, Forbidden, NotFound, Refusal, StoreTrouble
from formulary.formula.content import Content
from formulary.formula.version import Formula, State, Version
from formulary.house import House
from formulary.ingredient import Ingredient
from formulary.kept_calculation import KeptCalculation
from formulary.lots import lot_number
from formulary.messages import Message, message
from formulary.orders.order import Order
from formulary.people import Identity, Person
from formulary.preparation import LabelPrint, Preparation
from formulary.records import order_rules, review_rules, stock_rules
from formulary.register import complaint
from formulary.register.complaint import Complaint
from formulary.review.overriding import Overriding
from formulary.roles import MAY
from formulary.stock.container import StockContainer
from formulary.stock.counting import CountedGood
from formulary.stock.lot import SupplyLot
from formulary.stock.moves import StockMove
from formulary.stock.shelf import Level
from formulary.store import Reading, Record
from formulary.wording.book import WordingBook

R = TypeVar("R", bound=Record)

SEAL_BYTES = 16
"""As many as nobody can try (128 bits)."""

LARGEST_FILE = 10 << 20
"""Bytes of a file that is kept; a certificate as a scan of some pages is smaller."""


def admitted(record: R, stored: R | None, store: Reading) -> R:
    """Return the record with its next revision, if it may be put into the store as it stands.

    ``stored`` is the one in its place. Raises Conflict, Forbidden or NotFound as
    :meth:`formulary.store.Writing.put` says.
    """
    record = from_plain(type(record), to_plain(record))  # text in NFC, as it will come back
    if record.revision != (0 if stored is None else stored.revision):
        raise Conflict(changed_elsewhere(record, store))
    if stored is None:
        _check_references(record, store)
        _check_numbers(record, store)
    else:
        _check_unchanged(record, stored)
    return replace(_sealed(record), revision=record.revision + 1)


def _sealed(record: R) -> R:
    """Return a person outside the house under a new seal, anything else as it is.

    Without a seal a name could be guessed until its hash is that of the history.
    """
    if not isinstance(record, Identity):
        return record
    return replace(record, seal=secrets.token_hex(SEAL_BYTES))


def changed_elsewhere(record: Record, store: Reading) -> Message:
    """Return who changed a record since it was read, when, and by what act."""
    entry = store.last_change(type(record), record.id)
    if entry is None or entry.verb not in MAY:
        return message("store.changed", what=named(record))
    return message(
        "store.changed_elsewhere",
        what=named(record),
        by=entry.act.person,
        at=entry.act.at,
        act=message(f"roles.verb.{entry.verb}"),
    )


def check_removal(kind: type) -> None:
    """Raise Forbidden unless records of the kind may be removed at all."""
    if kind not in (Draft, Identity):
        raise Forbidden(message("store.never_removed"))


def missing(kind: type) -> NotFound:
    """Return the error for a record that isn't there."""
    return NotFound(message("store.record_missing", what=_kind(kind)))


def named(record: Record) -> Message:
    """Return how a sentence calls the record; a patient or prescriber is never named."""
    match record:
        case Formula(title=name) | Version(content=Content(title=name)):
            said = message("store.named.formula", name=name)
        case Ingredient(name=name) | House(name=name) | Person(name=name):
            said = message(f"store.named.{KINDS[type(record)]}", name=name)
        case Preparation(lot=lot) | LabelPrint(lot=lot):
            said = message("store.named.preparation", lot=lot)
        case SupplyLot(number=number) | StockContainer(number=number) | Order(number=number):
            kind = KINDS[type(record)].replace(" ", "_")
            said = message(f"store.named.{kind}", number=number)
        case _:
            said = _kind(type(record))
    return said


def _kind(kind: type) -> Message:
    return message(f"store.kind.{KINDS[kind].replace(' ', '_')}")


def _check_references(record: Record, store: Reading) -> None:
    for kind, record_id in _references(record):
        if store.get(kind, record_id) is None:
            raise missing(kind)


def _references(record: Record) -> Iterator[tuple[type[Record], str]]:
    match record:
        case Version():
            yield Formula, record.formula_id
            if record.order_id:
                yield Order, record.order_id
        case Preparation():
            yield Formula, record.formula_id
            yield Version, record.version_id
            if record.order_id:
                yield Order, record.order_id
        case LabelPrint() | Complaint():
            yield Preparation, record.preparation_id
        case BenchEvent() | FilledJar():
            yield BenchJob, record.preparation_id
        case Overriding():
            yield Version, record.version_id
        case SupplyLot() | Level():
            yield Ingredient, record.ingredient_id
        case StockContainer():
            yield SupplyLot, record.lot_id
        case _:
            # Identities are pointed at, too, but may be erased.
            return


def _check_numbers(record: Record, store: Reading) -> None:
    match record:
        case Preparation(lot=lot) if store.preparation(lot) is not None:
            raise Conflict(message("store.lot_taken", lot=lot))
        case StockContainer(number=number) if store.having(StockContainer, number=number):
            raise Conflict(message("store.container_taken", number=number))
        case Order(number=number) if store.having(Order, number=number):
            raise Conflict(message("store.order_taken", number=number))
        case StockMove(container_id=moved) if not _is_kept_in_stock(moved, store):
            raise missing(StockContainer)


def _is_kept_in_stock(record_id: str, store: Reading) -> bool:
    kinds = (StockContainer, CountedGood)
    return any(store.get(kind, record_id) is not None for kind in kinds)


def _check_unchanged(record: Record, stored: Record) -> None:
    match record, stored:
        case Version(), Version():
            if record.state is not stored.state:
                stored.moved_to(record.state)
            fixed = record.order_id != stored.order_id or (
                stored.state is not State.DRAFT and not _same_version(record, stored)
            )
            key = "store.version_is_fixed"
        case Preparation(), Preparation():
            fixed = not _same_preparation(record, stored)
            key = "store.preparation_is_fixed"
        case LabelPrint(), LabelPrint():
            fixed, key = True, "store.print_is_fixed"
        case KeptCalculation(), KeptCalculation():
            fixed, key = True, "store.kept_is_fixed"
        case (BenchEvent(), BenchEvent()) | (KeptCheck(), KeptCheck()):
            fixed, key = True, "store.event_is_fixed"
        case Complaint(), Complaint():
            fixed, key = not complaint.may_become(record, stored), "store.complaint_is_fixed"
        case Order(), Order():
            fixed, key = not order_rules.may_become(record, stored), "store.order_is_fixed"
        case _:
            key = (
                _book_fixed(record, stored)
                or stock_rules.fixed(record, stored)
                or review_rules.fixed(record, stored)
            )
            fixed = bool(key)
    if fixed:
        raise Forbidden(message(key, what=named(stored)))


def _book_fixed(record: Record, stored: Record) -> str:
    """Return the key of the sentence where an approval would go from a book of wordings."""
    if not (isinstance(record, WordingBook) and isinstance(stored, WordingBook)):
        return ""
    kept = record.approvals[: len(stored.approvals)] == stored.approvals
    return "" if kept else "store.wording_is_fixed"


def _same_preparation(record: Preparation, stored: Preparation) -> bool:
    """Return whether nothing but stage and bench differ.

    Before packing the address may, and the last day of use may come nearer; before planning also
    the day it is made: a blank on paper is given its lot first.
    """
    if stored.stage is Stage.REQUESTED:
        record = _with_days_of(stored, replace(record, made_on=stored.made_on))
    if is_earlier(stored.stage, Stage.PACKED) and record.use_by <= stored.use_by:
        record = _with_days_of(stored, record)
    if is_earlier(stored.stage, Stage.PACKED):
        record = replace(
            record,
            directions=stored.directions,
            language=stored.language,
            dosing=stored.dosing,
            patient_id=stored.patient_id,
            prescriber_id=stored.prescriber_id,
        )
    return stored == replace(record, stage=stored.stage, workstation=stored.workstation)


def _with_days_of(stored: Preparation, record: Preparation) -> Preparation:
    return replace(record, use_by=stored.use_by, dating=stored.dating)


def _same_version(record: Version, stored: Version) -> bool:
    """Return whether nothing but state and approval differs."""
    return stored == replace(
        record,
        state=stored.state,
        approver_id=stored.approver_id,
        approved_at=stored.approved_at,
    )


def lot(houses: Sequence[House], year: int, number: int) -> str:
    """Return the lot number under the house's prefix. Raises Refusal where it gets too long."""
    prefix = houses[0].lot_prefix if houses else ""
    try:
        return lot_number(prefix, year, number)
    except ValueError:
        raise Refusal(message("store.lot_too_long", prefix=prefix)) from None


def file_hash(data: bytes) -> str:
    """Return a file's SHA-256 in hexadecimal. Raises Refusal where it is empty or too large."""
    if not data:
        raise Refusal(message("store.file_empty"))
    if len(data) > LARGEST_FILE:
        raise Refusal(message("store.file_too_large", n=LARGEST_FILE >> 20))
    return hashlib.sha256(data).hexdigest()


def whole_file(sha256: str, data: bytes) -> bytes:
    """Return a file as it was kept. Raises StoreTrouble where it has another hash."""
    if hashlib.sha256(data).hexdigest() != sha256:
        raise StoreTrouble(message("store.file_damaged"))
    return data
