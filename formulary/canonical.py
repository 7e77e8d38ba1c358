"""The one way in which records become text: for hashing, storing, comparing and exchange.

The text is JSON in UTF-8 with sorted keys and no spaces; strings are NFC, exact numbers are text
(``"0.5"``, ``"100/3"``), dates ISO 8601. A field that is empty and empty by default is left out,
so a new optional field changes no old hash; any other default is always written, so that it may
change later. Where a field can hold records of several kinds, ``kind`` says which, by the stable
names of :data:`KINDS`.
"""

from __future__ import annotations

import hashlib
import json
from typing import Any, TypeVar

from formulary.bench.kept import AloneAct, BenchEvent, BenchJob, FilledJar, KeptCheck
from formulary.canonical_codecs import FORMAT_FIELD, KIND_FIELD, Unreadable, codec
from formulary.dossier import DossierItem
from formulary.drafts import Draft
from formulary.equipment import EquipmentNote
from formulary.errors import BadText
from formulary.formula.content import Content
from formulary.formula.read_mark import ReadMark
from formulary.formula.version import Formula, Version
from formulary.house import House
from formulary.house_layout import HouseLayout
from formulary.ingredient import Ingredient
from formulary.kept_calculation import KeptCalculation
from formulary.messages import message
from formulary.orders.order import Order
from formulary.people import Identity, Person
from formulary.preparation import LabelPrint, Preparation
from formulary.reconstitution import Reconstitution
from formulary.register.complaint import Complaint
from formulary.review.house_rules import HouseRule
from formulary.review.overriding import Overriding
from formulary.stock.container import StockContainer
from formulary.stock.counting import CountedGood
from formulary.stock.lot import SupplyLot
from formulary.stock.moves import StockMove
from formulary.stock.recall import Recall
from formulary.stock.shelf import Level
from formulary.tries import Tries
from formulary.wording.book import WordingBook

FORMAT = 1
"""Goes up when the same record is written otherwise; each older number stays readable."""

KINDS: dict[type, str] = {
    Content: "content",
    Formula: "formula",
    Version: "version",
    Ingredient: "ingredient",
    House: "house",
    Person: "person",
    Identity: "identity",
    Preparation: "preparation",
    LabelPrint: "label print",
    Draft: "draft",
    KeptCalculation: "kept calculation",
    Tries: "tries",
    BenchJob: "bench job",
    BenchEvent: "bench event",
    KeptCheck: "balance check",
    FilledJar: "filled jar",
    AloneAct: "act alone",
    SupplyLot: "supply lot",
    StockContainer: "stock container",
    StockMove: "stock move",
    CountedGood: "counted good",
    Level: "stock level",
    Recall: "recall",
    Complaint: "complaint",
    Order: "order",
    WordingBook: "wording book",
    HouseRule: "house rule",
    Overriding: "overriding",
    EquipmentNote: "equipment note",
    Reconstitution: "reconstitution",
    DossierItem: "dossier item",
    ReadMark: "read mark",
    HouseLayout: "house layout",
}
"""The name of each record in a document's ``kind``; never changed once written."""

T = TypeVar("T")


def to_plain(obj: object) -> dict[str, Any]:
    """Return a record as plain JSON values, without format and kind.

    Raises :class:`formulary.errors.BadText` for text that can't be kept (half a character, NUL).
    """
    try:
        plain: dict[str, Any] = codec(type(obj)).write(obj)
    except Unreadable as wrong:
        raise _bad(wrong) from None
    return plain


def from_plain(kind: type[T], data: object) -> T:
    """Return the record of that kind that ``data`` holds, with or without format and kind.

    Raises :class:`formulary.errors.BadText`, whose ``field`` says where (``lines[2].quantity``).
    """
    try:
        record: T = codec(kind).read(_body(kind, data))
    except Unreadable as wrong:
        raise _bad(wrong) from None
    return record


def clean_text(text: str) -> str:
    """Return text as it is kept, in NFC. Raises :class:`formulary.errors.BadText` for NUL."""
    try:
        cleaned: str = codec(str).write(text)
    except Unreadable as wrong:
        raise _bad(wrong) from None
    return cleaned


def canonical_text(obj: object, kind: str = "") -> str:
    """Return the canonical text of a record, or of another frozen dataclass under that kind."""
    header = {FORMAT_FIELD: FORMAT, KIND_FIELD: kind or KINDS[type(obj)]}
    return json_text(header | to_plain(obj))


def from_canonical_text(kind: type[T], text: str) -> T:
    """Return the record that a canonical text holds. Raises :class:`formulary.errors.BadText`."""
    try:
        data = json.loads(text)
    except (ValueError, RecursionError):
        raise BadText(message("store.canonical.not_json")) from None
    return from_plain(kind, data)


def content_hash(obj: object, kind: str = "") -> str:
    """Return the SHA-256 of the record's canonical text, in hexadecimal."""
    return text_hash(canonical_text(obj, kind))


def json_text(data: object) -> str:
    """Return plain values (strings in NFC) as canonical JSON: the same data, the same text."""
    return json.dumps(
        data, ensure_ascii=False, allow_nan=False, sort_keys=True, separators=(",", ":")
    )


def text_hash(text: str) -> str:
    """Return the SHA-256 of a text in UTF-8, in hexadecimal."""
    return hashlib.sha256(text.encode()).hexdigest()


def _body(kind: type, data: object) -> object:
    """Return the record's own fields; a header that is there must fit."""
    if not isinstance(data, dict) or FORMAT_FIELD not in data:
        return data
    if data[FORMAT_FIELD] != FORMAT:
        raise Unreadable(message("store.canonical.other_format", format=str(data[FORMAT_FIELD])))
    found, wanted = data.get(KIND_FIELD), KINDS.get(kind)
    if wanted is not None and found != wanted:
        raise Unreadable(message("store.canonical.other_kind", found=str(found), wanted=wanted))
    return {name: value for name, value in data.items() if name not in (FORMAT_FIELD, KIND_FIELD)}


def _bad(wrong: Unreadable) -> BadText:
    field = wrong.path.lstrip(".")
    if not field:
        return BadText(wrong.said)
    return BadText(message("store.canonical.at", field=field, why=wrong.said), field=field)
