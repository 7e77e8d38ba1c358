"""The small door to what is kept. ``formulary.records`` fulfils it; nothing below knows how."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from contextlib import AbstractContextManager
from dataclasses import dataclass
from datetime import date, datetime
from enum import StrEnum
from threading import Event
from typing import Any, Protocol, TypeAlias, TypeVar

from formulary.acts import Act
from formulary.bench.kept import AloneAct, BenchEvent, BenchJob, FilledJar, KeptCheck
from formulary.bench.stages import NEVER_MADE, Stage
from formulary.dossier import DossierItem
from formulary.drafts import Draft
from formulary.equipment import EquipmentNote
from formulary.formula.content import Form, ShelfLife, Storage
from formulary.formula.read_mark import ReadMark
from formulary.formula.version import Formula, State, Version
from formulary.house import House
from formulary.house_layout import HouseLayout
from formulary.ingredient import Ingredient
from formulary.kept_calculation import KeptCalculation
from formulary.orders.order import Order
from formulary.people import Identity, Person
from formulary.preparation import LabelPrint, Preparation
from formulary.quantity.amount import Amount
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

Record: TypeAlias = (
    Formula
    | Version
    | Ingredient
    | House
    | Person
    | Identity
    | Preparation
    | LabelPrint
    | Draft
    | KeptCalculation
    | Tries
    | BenchJob
    | BenchEvent
    | FilledJar
    | AloneAct
    | KeptCheck
    | SupplyLot
    | StockContainer
    | StockMove
    | CountedGood
    | Level
    | Recall
    | Complaint
    | Order
    | WordingBook
    | HouseRule
    | Overriding
    | EquipmentNote
    | Reconstitution
    | DossierItem
    | ReadMark
    | HouseLayout
)
R = TypeVar("R", bound=Record)


@dataclass(frozen=True, slots=True)
class Hit:
    """A formula found, with what the counter asks first: how it is kept and how long it lasts.

    The state, storage and shelf life are those of the version in use, or of the newest one where
    none is.
    """

    formula_id: str
    code: str
    title: str
    form: Form
    state: State
    storage: Storage | None
    shelf_life: ShelfLife | None


class Sorting(StrEnum):
    """The order in which the register lists: by when it was started, or by the last day of use."""

    NEWEST = "newest first"
    OLDEST = "oldest first"
    ENDS_FIRST = "runs out first"
    ENDS_LAST = "runs out last"


@dataclass(frozen=True, slots=True)
class RegisterRow:
    """A preparation as the register lists it; no person outside the house shows.

    ``target`` is what was ordered, ``filled`` what each container holds, in the order of their
    numbers; a container emptied again is none. A store doesn't know what a recall reached:
    ``recalled`` is put in by whoever lists it.
    """

    preparation_id: str
    lot: str
    code: str
    title: str
    version_number: int
    target: str
    made_on: date
    use_by: date
    stage: Stage
    started_at: datetime
    started_by: str
    labels_printed: int
    containers: int
    filled: tuple[Amount, ...] = ()
    recalled: bool = False

    @property
    def there(self) -> int:
        """Return how many containers there are: those filled, before that those ordered."""
        return len(self.filled) or self.containers

    @property
    def made(self) -> date | None:
        """Return the day it was made, None where it never was: its days were only foreseen."""
        return None if self.stage in NEVER_MADE else self.made_on

    @property
    def lasts_until(self) -> date | None:
        """Return its last day of use, None where nothing was made."""
        return None if self.stage in NEVER_MADE else self.use_by


@dataclass(frozen=True, slots=True)
class Entry:
    """One entry of the history: an act, its verb and what it touched, chained by hashes."""

    number: int
    verb: str
    act: Act
    details: str
    previous: str
    hash: str


@dataclass(frozen=True, slots=True)
class Change:
    """What somebody else wrote: who, where and when, by which verb, and the kinds it touched.

    Kinds are called as in :data:`formulary.canonical.KINDS`.
    """

    number: int
    verb: str
    act: Act
    kinds: frozenset[str]


class Reading(Protocol):
    """What can be asked of the store."""

    def get(self, kind: type[R], record_id: str) -> R | None:
        """Return the record of that kind and id, if it is there."""

    def every(self, kind: type[R]) -> Sequence[R]:
        """Return all records of a kind that stays small (ingredients, people, drafts, house)."""

    def having(self, kind: type[R], **fields: str) -> Sequence[R]:
        """Return the records of a kind with these fields, in the order in which they were made.

        Only for kinds kept whole, and only by the fields they can be found by.
        """

    def having_any(self, kind: type[R], field: str, values: Collection[str]) -> Sequence[R]:
        """Return the records whose field is one of these, in the order in which they were made."""

    def columns(
        self, kind: type[R], names: Sequence[str], field: str, values: Collection[str]
    ) -> Sequence[tuple[Any, ...]]:
        """Return only these fields of the records that :meth:`having_any` finds, unsorted.

        For walks over many records, since whole ones take longer to read.
        """

    def file(self, sha256: str) -> bytes | None:
        """Return the file with that SHA-256 in hexadecimal, if it is here.

        Raises :class:`formulary.errors.StoreTrouble` where it isn't what was kept.
        """

    def find_formulas(self, text: str, limit: int = 50, offset: int = 0) -> Sequence[Hit]:
        """Return formulas in which every word of ``text`` begins a word, accents and case aside.

        An empty text lists all by title. On each page those withdrawn come last.
        """

    def formulas_named(self, text: str) -> Sequence[Formula]:
        """Return the formulas whose code or title is exactly ``text``, case and accents aside."""

    def versions(self, formula_id: str) -> Sequence[Version]:
        """Return a formula's versions, oldest first."""

    def preparation(self, lot: str) -> Preparation | None:
        """Return the preparation with that lot number."""

    def register(
        self,
        text: str = "",
        limit: int = 50,
        offset: int = 0,
        stage: Stage | None = None,
        sorting: Sorting = Sorting.NEWEST,
        among: Collection[str] | None = None,
    ) -> Sequence[RegisterRow]:
        """Return preparations whose lot, code or title contain ``text``'s words.

        With a ``stage`` only those that are there now, with ``among`` only those of these ids.
        """

    def prints(self, preparation_id: str) -> Sequence[LabelPrint]:
        """Return the label prints of a preparation, oldest first."""

    def last_entry(self) -> Entry | None:
        """Return the newest entry of the history, the head of its chain."""

    def history(self, after: int = 0, limit: int = 100) -> Sequence[Entry]:
        """Return history entries with a number over ``after``, oldest first."""

    def entries_about(self, marks: Collection[str], person_id: str = "") -> Sequence[Entry]:
        """Return the entries whose details hold one of these texts, oldest first.

        With a ``person_id`` also those of what that person did.
        """

    def last_change(self, kind: type[Record], record_id: str) -> Entry | None:
        """Return the newest history entry that put a record, if there is one."""


class Writing(Reading, Protocol):
    """One transaction: everything in it lands together with one entry in the history."""

    def put(self, record: R) -> R:
        """Insert or replace a record and return it with its new revision.

        Raises :class:`formulary.errors.Conflict`, saying who changed it and by what, if its
        revision isn't the stored one, and
        :class:`formulary.errors.Forbidden` if it would change the content of a version that has
        left the draft state.
        """

    def remove(self, kind: type[R], record_id: str) -> None:
        """Remove a draft or erase an identity; anything else is refused."""

    def allot_lot(self, year: int) -> str:
        """Return the next lot number of that year, at most 14 characters, never given before."""

    def allot_containers(self, count: int) -> int:
        """Return the first of so many running numbers for containers, none ever given before."""

    def allot_order(self, year: int) -> str:
        """Return the next order number of that year, never given before."""

    def keep_file(self, data: bytes) -> str:
        """Keep a file and return its SHA-256 in hexadecimal; the same file is kept once.

        Raises :class:`formulary.errors.Refusal` for one that is empty or too large.
        """

    def tell(self, **details: str | int) -> None:
        """Add details to this transaction's history entry. Never a person's identity."""


class Store(Reading, Protocol):
    """The formulary as it is kept."""

    def writing(self, act: Act, verb: str) -> AbstractContextManager[Writing]:
        """Open a transaction of one verb under one act.

        Leaving it normally commits and appends the history entry; an exception undoes all.
        """

    def at_once(self) -> AbstractContextManager[Store]:
        """Open a store whose transactions all land together, each with its entry, or none does.

        For one thread, and nobody else writes meanwhile.
        """

    def watch(self, stop: Event, after: int) -> Iterator[Sequence[Change]]:
        """Yield what others wrote ``after`` an entry, and what they write until told to ``stop``.

        The first may be nothing: it says that the place is reached. Of what this store itself wrote
        nothing is said. Raises :class:`formulary.errors.StoreTrouble` where the place is lost.
        """

    def close(self) -> None:
        """Let go of files and connections."""
