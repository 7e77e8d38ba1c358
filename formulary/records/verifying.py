"""Whether all that is kept is what was kept: the history, each record, the database itself."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from typing import TypeAlias

from formulary.canonical import KINDS
from formulary.formula.content import Content
from formulary.formula.version import Version
from formulary.house import House
from formulary.people import Identity
from formulary.records.chain import FIRST, fits, touched, unreadable
from formulary.records.kept_rows import UNREADABLE, KeptRow
from formulary.records.name_key import has_key
from formulary.records.replaced import without_replaced
from formulary.records.sql_store import SqlStore
from formulary.store import Entry, Record
from formulary.verifying import Anchor, Doubt, Flaw, Verdict

MOST = 50
"""So many doubts are told; whoever finds more knows enough."""

_PAGE = 500
_KINDS: dict[str, type[Record]] = {
    name: kind for kind, name in KINDS.items() if kind is not Content
}
_Known: TypeAlias = dict[tuple[str, str], tuple[int, str | None]]
"""By kind and id, the entry that last touched a record and the hash it had then.

The hash is "" for a person outside the house, None for what was removed.
"""

Progress: TypeAlias = Callable[[int], None]


def verify(
    store: SqlStore, anchors: Iterable[Anchor] = (), progress: Progress = lambda _: None
) -> Verdict:
    """Compute the whole chain anew, and compare anchors and every record with it.

    Whoever computed a changed history anew from its beginning shows against an anchor only.
    ``progress`` is told how many entries were read, and may raise to end it. Raises StoreTrouble
    for a file whose pages can't be read.
    """
    gone = store.tables_gone()
    if gone:
        return Verdict(0, 0, FIRST, tuple(Doubt(Flaw.TABLE_GONE, what=name) for name in gone))
    anchors = [*anchors]
    walk = _Walk(store, anchors, progress)
    doubts, notes = without_replaced([*walk.doubts()], anchors, store.place, walk.restored_to)
    closed = not all(map(has_key, _names_keys(store)))
    doubts += _records(store, walk.known, closed=closed)
    doubts += (Doubt(Flaw.DERIVED, what=said) for said in store.astray())
    doubts += (Doubt(Flaw.COUNTER, what=said) for said in store.counted_wrong())
    doubts += (Doubt(Flaw.DATABASE, what=said) for said in store.integrity())
    doubts += (Doubt(Flaw.GUARD_GONE, what=name) for name in store.guards_gone())
    there = sum(hashed is not None for _, hashed in walk.known.values())
    return Verdict(
        entries=walk.number,
        records=there,
        head=walk.previous,
        doubts=tuple(doubts[:MOST]),
        names_closed=closed,
        replaced=tuple(notes),
        more=max(0, len(doubts) - MOST),
    )


def _names_keys(store: SqlStore) -> Iterator[str]:
    """Yield the key that the house's names are under, if they are under one."""
    for row in store.kept_rows(House):
        if isinstance(row.record, House) and row.record.names_key:
            yield row.record.names_key


class _Walk:
    """Goes along the chain once; afterwards it knows its end and what each record was last."""

    def __init__(self, store: SqlStore, anchors: Iterable[Anchor], progress: Progress) -> None:
        self._store = store
        self._anchors = list(anchors)
        self._progress = progress
        self.number, self.previous = 0, FIRST
        self.known: _Known = {}
        self.restored_to: int | None = None

    def doubts(self) -> Iterator[Doubt]:
        """Yield what is wrong, in the order of the entries."""
        while page := self._page():
            for entry in page:
                yield from self._entry(entry)
            self._progress(self.number)
        yield from self._end()

    def _page(self) -> Sequence[Entry]:
        for size in (_PAGE, 1):
            try:
                return self._store.history(self.number, size)
            except UNREADABLE:
                continue
        ended = self.number >= self._store.chain_head()[0]
        return [] if ended else [unreadable(self.number + 1)]

    def _entry(self, entry: Entry) -> Iterator[Doubt]:
        if entry.number != self.number + 1:
            yield Doubt(Flaw.LEFT_OUT, self.number + 1)
        elif not fits(entry):
            yield Doubt(Flaw.EDITED, entry.number)
        elif self.previous and entry.previous != self.previous:
            yield Doubt(Flaw.OUT_OF_CHAIN, entry.number)
        for anchor in self._anchors:
            if anchor.number == entry.number and not entry.hash.startswith(anchor.hash):
                yield Doubt(Flaw.REWRITTEN, entry.number, anchor.source)
        self.number, self.previous = entry.number, entry.hash
        if entry.verb == "restore" and self.restored_to is None:
            # That entry follows the last one of the backup.
            self.restored_to = entry.number - 1
        for kind, record_id, hashed in touched(entry):
            self.known[kind, record_id] = (entry.number, hashed)

    def _end(self) -> Iterator[Doubt]:
        number, hashed = self._store.chain_head()
        if number > self.number:
            yield Doubt(Flaw.CUT_OFF, self.number + 1)
        elif self.number and (number, hashed) == (0, ""):
            yield Doubt(Flaw.END_GONE, self.number)
        elif (number, hashed) != (self.number, self.previous):
            yield Doubt(Flaw.OUT_OF_CHAIN, self.number)
        for anchor in self._anchors:
            if anchor.number > self.number:
                yield Doubt(Flaw.SHORTER, anchor.number, anchor.source)


def _records(store: SqlStore, known: _Known, *, closed: bool) -> Iterator[Doubt]:
    """Yield what is wrong with each record; names that are ``closed`` count as they were kept."""
    by_kind: dict[str, dict[str, tuple[int, str | None]]] = {name: {} for name in _KINDS}
    for (name, record_id), seen in known.items():
        by_kind.setdefault(name, {})[record_id] = seen
    for name, kind in _KINDS.items():
        unread = closed and kind is Identity
        yield from _of_kind(store.kept_rows(kind), name, by_kind[name], closed=unread)


def _of_kind(
    found: Iterable[KeptRow],
    name: str,
    left: dict[str, tuple[int, str | None]],
    *,
    closed: bool,
) -> Iterator[Doubt]:
    for row in found:
        entry, hashed = left.pop(row.record_id, (0, None))
        flaw = None if closed and hashed and row.record is None else _flaw(row, hashed)
        if flaw is not None:
            yield Doubt(flaw, entry, f"{name} {row.record_id}", _called(row.record))
        for column in row.astray:
            what = f"{name} {row.record_id}: {column}"
            yield Doubt(Flaw.COLUMN, entry, what, _called(row.record))
    for record_id, (entry, hashed) in left.items():
        if hashed is not None:
            yield Doubt(Flaw.RECORD_GONE, entry, f"{name} {record_id}")


def _called(record: Record | None) -> str:
    """Return what people call a record, nothing for one without a name; never a patient's."""
    if isinstance(record, Version):
        return f"{record.content.code}, {record.number}"
    if record is None or isinstance(record, Identity):
        return ""
    found = (getattr(record, each, "") for each in ("number", "lot", "code", "name"))
    return next((each for each in found if isinstance(each, str) and each), "")


def _flaw(row: KeptRow, hashed: str | None) -> Flaw | None:
    if row.record is None:
        return Flaw.RECORD_UNREADABLE
    if hashed is None:
        return Flaw.RECORD_ADDED
    # Of people outside the house older entries say only that there was one.
    return None if hashed in ("", *row.hashes) else Flaw.RECORD_CHANGED
