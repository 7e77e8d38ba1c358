"""Whether all that is kept is what was kept: the history, each record, the database itself."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from typing import TypeAlias

from formulary.canonical import KINDS, content_hash
from formulary.errors import FormularyError
from formulary.formula.content import Content
from formulary.people import Identity
from formulary.records.chain import FIRST, fits, touched, unreadable
from formulary.records.sql_store import SqlStore
from formulary.store import Entry, Record
from formulary.verifying import Anchor, Doubt, Flaw, Verdict

MOST = 50
"""So many doubts are told; whoever finds more knows enough."""

_PAGE = 500
_KINDS: dict[str, type[Record]] = {
    name: kind for kind, name in KINDS.items() if kind is not Content
}
_UNREADABLE = (FormularyError, ValueError, TypeError, KeyError)
"""What reading a row can raise that somebody wrote into by hand."""

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
    walk = _Walk(store, anchors, progress)
    doubts = [*walk.doubts()]
    records = [*_records(store, walk.known)]
    doubts += [doubt for doubt in records if doubt is not None]
    doubts += [Doubt(Flaw.DATABASE, what=said) for said in store.integrity()]
    return Verdict(walk.number, len(records), walk.previous, tuple(doubts[:MOST]))


class _Walk:
    """Goes along the chain once; afterwards it knows its end and what each record was last."""

    def __init__(self, store: SqlStore, anchors: Iterable[Anchor], progress: Progress) -> None:
        self._store = store
        self._anchors = list(anchors)
        self._progress = progress
        self.number, self.previous = 0, FIRST
        self.known: _Known = {}

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
            except _UNREADABLE:
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
        for kind, record_id, hashed in touched(entry):
            self.known[kind, record_id] = (entry.number, hashed)

    def _end(self) -> Iterator[Doubt]:
        number, hashed = self._store.chain_head()
        if number > self.number:
            yield Doubt(Flaw.CUT_OFF, self.number + 1)
        elif (number, hashed) != (self.number, self.previous):
            yield Doubt(Flaw.OUT_OF_CHAIN, self.number)
        for anchor in self._anchors:
            if anchor.number > self.number:
                yield Doubt(Flaw.SHORTER, anchor.number, anchor.source)


def _records(store: SqlStore, known: _Known) -> Iterator[Doubt | None]:
    """Yield for each record what is wrong with it, None if nothing."""
    by_kind: dict[str, dict[str, tuple[int, str | None]]] = {name: {} for name in _KINDS}
    for (name, record_id), seen in known.items():
        by_kind.setdefault(name, {})[record_id] = seen
    for name, kind in _KINDS.items():
        yield from _of_kind(store, name, kind, by_kind[name])


def _of_kind(
    store: SqlStore, name: str, kind: type[Record], left: dict[str, tuple[int, str | None]]
) -> Iterator[Doubt | None]:
    for record_id, record in _each(store, kind, left):
        entry, hashed = left.pop(record_id, (0, None))
        flaw = _flaw(record, hashed)
        yield None if flaw is None else Doubt(flaw, entry, f"{name} {record_id}")
    for record_id, (entry, hashed) in left.items():
        if hashed is not None:
            yield Doubt(Flaw.RECORD_GONE, entry, f"{name} {record_id}")


def _flaw(record: Record | None, hashed: str | None) -> Flaw | None:
    if record is None:
        return Flaw.RECORD_UNREADABLE
    if hashed is None:
        return Flaw.RECORD_ADDED
    # Of a person outside the house the history says only that there was an entry.
    same = isinstance(record, Identity) or content_hash(record) == hashed
    return None if same else Flaw.RECORD_CHANGED


def _each(
    store: SqlStore, kind: type[Record], known: Iterable[str]
) -> Iterator[tuple[str, Record | None]]:
    """Yield the records of a kind; where one can't be read they are read singly."""
    try:
        records = store.every(kind)
    except _UNREADABLE:
        for record_id in [*known]:
            yield from _one(store, kind, record_id)
        return
    yield from ((each.id, each) for each in records)


def _one(
    store: SqlStore, kind: type[Record], record_id: str
) -> Iterator[tuple[str, Record | None]]:
    try:
        record = store.get(kind, record_id)
    except _UNREADABLE:
        yield record_id, None
        return
    if record is not None:
        yield record_id, record
