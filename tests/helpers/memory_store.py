"""The store as a few dictionaries, for tests of whatever stands above it."""

from __future__ import annotations

import threading
from collections.abc import Collection, Iterator, Sequence
from contextlib import contextmanager
from threading import Event
from typing import Any, TypeVar

from formulary.acts import Act
from formulary.bench.kept import FilledJar, Place
from formulary.bench.stages import Stage
from formulary.canonical import clean_text
from formulary.folding import as_key, folded_words, in_order, sought_words
from formulary.formula.content import Content
from formulary.formula.version import Formula, Version
from formulary.house import House
from formulary.ingredient import Ingredient
from formulary.orders.numbers import order_number
from formulary.preparation import LabelPrint, Preparation
from formulary.quantity.amount import Amount
from formulary.records import chain, rules
from formulary.records.searchable import hit, searched_text, speaking, withdrawn_last
from formulary.store import Change, Entry, Hit, Record, RegisterRow, Sorting

R = TypeVar("R", bound=Record)


class MemoryReading:
    """Fulfils :class:`formulary.store.Reading`."""

    def __init__(self) -> None:
        self._records: dict[tuple[type, str], Record] = {}
        self._lots: dict[int, int] = {}
        self._containers = 0
        self._orders: dict[int, int] = {}
        self._files: dict[str, bytes] = {}
        self._listed: tuple[str, ...] = ()
        self._entries: tuple[Entry, ...] = ()

    def _take(self, other: MemoryReading) -> None:
        """Hold what another holds; what either writes from now on the other doesn't see."""
        self._records, self._lots = dict(other._records), dict(other._lots)
        self._containers, self._files = other._containers, dict(other._files)
        self._orders = dict(other._orders)
        self._listed, self._entries = other._listed, other._entries

    def get(self, kind: type[R], record_id: str) -> R | None:
        found = self._records.get((kind, record_id))
        return found if isinstance(found, kind) else None

    def every(self, kind: type[R]) -> Sequence[R]:
        found = [record for record in self._records.values() if isinstance(record, kind)]
        return sorted(found, key=lambda record: record.id)

    def having(self, kind: type[R], **fields: str) -> Sequence[R]:
        return [
            each
            for each in self.every(kind)
            if all(getattr(each, name) == value for name, value in fields.items())
        ]

    def having_any(self, kind: type[R], field: str, values: Collection[str]) -> Sequence[R]:
        return [each for each in self.every(kind) if getattr(each, field) in values]

    def columns(
        self, kind: type[R], names: Sequence[str], field: str, values: Collection[str]
    ) -> Sequence[tuple[Any, ...]]:
        found = self.having_any(kind, field, values)
        return [tuple(getattr(each, name) for name in names) for each in found]

    def file(self, sha256: str) -> bytes | None:
        return self._files.get(sha256)

    def find_formulas(self, text: str, limit: int = 50, offset: int = 0) -> Sequence[Hit]:
        words, start = sought_words(text), in_order(text)
        found = []
        for place, formula_id in enumerate(self._listed):
            shown, searched = self._searched(formula_id)
            if all(any(each.startswith(word) for each in searched) for word in words):
                title, code = in_order(shown.title), in_order(shown.code)
                rank = 0 if title.startswith(start) else 1 if code.startswith(start) else 2
                found.append((rank, (title, code, "")[rank], place, shown))
        ranked = [each[-1] for each in sorted(found, key=lambda each: each[:3])]
        return withdrawn_last(ranked[offset : offset + limit])

    def formulas_named(self, text: str) -> Sequence[Formula]:
        key = as_key(text)
        return [each for each in self.every(Formula) if key in map(as_key, (each.code, each.title))]

    def versions(self, formula_id: str) -> Sequence[Version]:
        found = [each for each in self.every(Version) if each.formula_id == formula_id]
        return sorted(found, key=lambda version: version.number)

    def preparation(self, lot: str) -> Preparation | None:
        return next((each for each in self.every(Preparation) if each.lot == lot), None)

    def register(
        self,
        text: str = "",
        limit: int = 50,
        offset: int = 0,
        stage: Stage | None = None,
        sorting: Sorting = Sorting.NEWEST,
        among: Collection[str] | None = None,
    ) -> Sequence[RegisterRow]:
        words = sought_words(text)
        found = [
            each
            for each in self.every(Preparation)
            if all(word in in_order(f"{each.lot} {each.code} {each.title}") for word in words)
            and stage in (None, each.stage)
            and (among is None or each.id in among)
        ]
        by_day = sorting in (Sorting.ENDS_FIRST, Sorting.ENDS_LAST)
        found.sort(
            key=lambda each: (each.use_by if by_day else each.started_at, each.id),
            reverse=sorting in (Sorting.NEWEST, Sorting.ENDS_LAST),
        )
        return [self._listed_row(each) for each in found[offset : offset + limit]]

    def prints(self, preparation_id: str) -> Sequence[LabelPrint]:
        found = [each for each in self.every(LabelPrint) if each.preparation_id == preparation_id]
        return sorted(found, key=lambda printed: (printed.printed_at, printed.id))

    def entries_about(self, marks: Collection[str], person_id: str = "") -> Sequence[Entry]:
        return [
            each
            for each in self._entries
            if any(mark in each.details for mark in marks)
            or (person_id and each.act.person_id == person_id)
        ]

    def last_change(self, kind: type[Record], record_id: str) -> Entry | None:
        mark = chain.mark_of(kind, record_id)
        return next((each for each in reversed(self._entries) if mark in each.details), None)

    def last_entry(self) -> Entry | None:
        return self._entries[-1] if self._entries else None

    def history(self, after: int = 0, limit: int = 100) -> Sequence[Entry]:
        return self._entries[after : after + limit]

    def _searched(self, formula_id: str) -> tuple[Hit, list[str]]:
        formula, version = self.get(Formula, formula_id), speaking(self.versions(formula_id))
        assert formula is not None
        assert version is not None
        meant = [each for each in self.every(Ingredient) if _is_meant(each, version.content)]
        return hit(formula, version), folded_words(searched_text(formula, version.content, meant))

    def _listed_row(self, made: Preparation) -> RegisterRow:
        return RegisterRow(
            preparation_id=made.id,
            lot=made.lot,
            code=made.code,
            title=made.title,
            version_number=made.version_number,
            target=made.target,
            made_on=made.made_on,
            use_by=made.use_by,
            stage=made.stage,
            started_at=made.started_at,
            started_by=made.started_by,
            labels_printed=self._labelled(made.id),
            containers=made.containers,
            filled=self._filled(made.id),
        )

    def _filled(self, preparation_id: str) -> tuple[Amount, ...]:
        jars = self.having(FilledJar, preparation_id=preparation_id)
        there = (each for each in jars if each.place is not Place.NOWHERE)
        return tuple(each.net for each in sorted(there, key=lambda each: each.number))

    def _labelled(self, preparation_id: str) -> int:
        prints = (each for each in self.prints(preparation_id) if not each.proof)
        return sum(each.containers or each.copies for each in prints)


class MemoryWriting(MemoryReading):
    """Fulfils :class:`formulary.store.Writing` on copies that replace the store's at the end."""

    def __init__(self, store: MemoryReading) -> None:
        super().__init__()
        self._take(store)
        self._put: list[dict[str, Any]] = []
        self._removed: list[dict[str, Any]] = []
        self._told: dict[str, str | int] = {}

    def put(self, record: R) -> R:
        before = self.get(type(record), record.id)
        record = rules.admitted(record, before, self)
        self._records[type(record), record.id] = record
        if isinstance(record, Version):
            self._list(record)
        self._put.append(chain.put_detail(record, before))
        return record

    def remove(self, kind: type[R], record_id: str) -> None:
        rules.check_removal(kind)
        if self._records.pop((kind, record_id), None) is None:
            raise rules.missing(kind)
        self._removed.append(chain.removed_detail(kind, record_id))

    def _list(self, version: Version) -> None:
        if not version.order_id and version.formula_id not in self._listed:
            self._listed += (version.formula_id,)

    def allot_lot(self, year: int) -> str:
        self._lots[year] = self._lots.get(year, 0) + 1
        return rules.lot(self.every(House), year, self._lots[year])

    def allot_containers(self, count: int) -> int:
        first = self._containers + 1
        self._containers += count
        return first

    def allot_order(self, year: int) -> str:
        self._orders[year] = self._orders.get(year, 0) + 1
        return order_number(year, self._orders[year])

    def keep_file(self, data: bytes) -> str:
        sha256 = rules.file_hash(data)
        self._files[sha256] = data
        return sha256

    def tell(self, **details: str | int) -> None:
        for name, said in details.items():
            self._told[name] = clean_text(said) if isinstance(said, str) else said

    def conclude(self, act: Act, verb: str) -> None:
        details = chain.details_text(self._put, self._removed, self._told)
        previous = self._entries[-1].hash if self._entries else chain.FIRST
        number = len(self._entries) + 1
        self._entries += (chain.sealed(number, verb, act, details, previous),)


class MemoryStore(MemoryReading):
    """Fulfils :class:`formulary.store.Store`."""

    def __init__(self) -> None:
        super().__init__()
        self._lock = threading.Lock()

    @contextmanager
    def writing(self, act: Act, verb: str) -> Iterator[MemoryWriting]:
        with self._lock:
            transaction = MemoryWriting(self)
            yield transaction
            transaction.conclude(act, verb)
            self._take(transaction)

    @contextmanager
    def at_once(self) -> Iterator[MemoryStore]:
        whole = MemoryStore()
        whole._take(self)
        yield whole
        with self._lock:
            self._take(whole)

    def watch(self, stop: Event, after: int) -> Iterator[Sequence[Change]]:
        """Nobody else can write here."""
        del stop, after
        yield ()

    def close(self) -> None:
        """Nothing is open."""


def _is_meant(ingredient: Ingredient, content: Content) -> bool:
    key = as_key(ingredient.name)
    return any(
        line.ingredient_id == ingredient.id
        or (not line.ingredient_id and as_key(line.ingredient) == key)
        for line in content.lines
    )
