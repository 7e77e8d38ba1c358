"""The store on a database."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import AbstractContextManager, contextmanager
from hashlib import sha256
from threading import Event, Lock
from typing import Any, TypeVar

from sqlalchemy import Connection, Engine, event, select
from sqlalchemy.orm import Session

from formulary.acts import Act
from formulary.backups import is_put_aside
from formulary.errors import StoreTrouble
from formulary.messages import message
from formulary.records import counters, derived_check, guards
from formulary.records.chain import touched
from formulary.records.engine import for_writing
from formulary.records.kept_rows import KeptRow, kept_rows
from formulary.records.reading import SqlReading
from formulary.records.tables import ChainHeadRow, FileRow
from formulary.records.troubles import told_of
from formulary.records.watching import wakened
from formulary.records.writing import SqlWriting
from formulary.store import Change, Entry, Record

R = TypeVar("R", bound=Record)

_PAGE = 500


class SqlStore(SqlReading):
    """Fulfils :class:`formulary.store.Store`; ``place`` is what sentences call the database.

    It may be asked from any thread at any time: each question has a session and a connection of
    its own. A transaction stays in the thread that opened it; others wait for it to end.
    """

    def __init__(self, engine: Engine, place: str) -> None:
        self._engine = engine
        self._place = place
        self._own: set[int] = set()
        self._looking = Lock()

    @contextmanager
    def _asking(self) -> Iterator[Session]:
        with told_of(self._place), Session(self._engine) as session:
            yield session

    @contextmanager
    def _trying(self) -> Iterator[Session]:
        """Open a session that could write, for what is taken back again."""
        with told_of(self._place), Session(for_writing(self._engine)) as session:
            yield session

    def _for_writing(self) -> Engine:
        """Return the engine that writes; what was put aside is only read any more."""
        if is_put_aside(self._place):
            raise StoreTrouble(message("store.trouble.put_aside", place=self._place))
        return for_writing(self._engine)

    @property
    def place(self) -> str:
        """What sentences call the database; without a password."""
        return self._place

    def session(self) -> AbstractContextManager[Session]:
        """Open a session for what goes through whole tables."""
        return self._asking()

    @contextmanager
    def writing(self, act: Act, verb: str) -> Iterator[SqlWriting]:
        with (
            told_of(self._place),
            # Without autobegin, whoever keeps using it after its end is told so.
            Session(self._for_writing(), autobegin=False) as session,
            session.begin(),
        ):
            transaction = SqlWriting(session)
            yield transaction
            number = transaction.conclude(act, verb)
        # It may be heard of before it is noted; then the pages are read once more.
        self._own.add(number)

    @contextmanager
    def at_once(self) -> Iterator[SqlStore]:
        """Yield a store whose transactions all land together, or none of them.

        For building a formulary up, in one thread.
        """
        with (
            told_of(self._place),
            Session(self._for_writing(), autobegin=False) as session,
            session.begin(),
        ):
            whole = _AtOnce(self._engine, self._place, session)
            yield whole
        self._own |= whole.concluded

    def chain_head(self) -> tuple[int, str]:
        """Return number and hash of the last entry, as the transaction that wrote it left them.

        Where somebody removed them it is 0 and no hash, which no history ends with.
        """
        with self._asking() as session:
            head = session.scalars(select(ChainHeadRow)).first()
            return (0, "") if head is None else (head.number, head.hash)

    def watch(self, stop: Event, after: int) -> Iterator[Sequence[Change]]:
        with told_of(self._place):
            seen = after
            for _ in wakened(self._engine, self._place, stop):
                changes: list[Change] = []
                with self._looking:
                    if stop.is_set():
                        return
                    # After a restore there are fewer than before.
                    seen = min(seen, self.chain_head()[0])
                    while page := self.history(seen, _PAGE):
                        seen = page[-1].number
                        changes += [_change(each) for each in page if each.number not in self._own]
                self._own -= {number for number in tuple(self._own) if number <= seen}
                yield changes

    def integrity(self) -> Sequence[str]:
        """Return which kept files aren't what they were, and what the database finds of itself.

        SQLite looks through its pages and indexes; a server checks its own.
        """
        with self._asking() as session:
            found = [*_changed_files(session)]
            if self._engine.dialect.name == "sqlite":
                found += _of_the_file(session.connection())
        return found

    def kept_rows(self, kind: type[Record]) -> Sequence[KeptRow]:
        """Return every row of a kind beside the record that it keeps, for a check."""
        with self._asking() as session:
            return kept_rows(session, kind)

    def astray(self) -> Sequence[str]:
        """Return which rows worked out from records aren't as those give them."""
        with self._asking() as session:
            found = [*derived_check.astray(session)]
        with self._trying() as session:
            return found if derived_check.words_fit(session) else [*found, "formula_words"]

    def counted_wrong(self) -> Sequence[str]:
        """Return which counters don't stand at the last number that was given."""
        with self._asking() as session:
            return [*counters.astray(session)]

    def guards_gone(self) -> Sequence[str]:
        """Return which guards of the history aren't there."""
        with self._asking() as session:
            return guards.guards_gone(session)

    def tables_gone(self) -> Sequence[str]:
        """Return which tables aren't there."""
        with self._asking() as session:
            return guards.tables_gone(session)

    def mend(self, act: Act) -> int:
        """Write anew whatever isn't as the records give it; return how many rows that were."""
        with self.writing(act, "mend_columns") as writing:
            mended = writing.mend()
            writing.tell(rows=mended)
        return mended

    def close(self) -> None:
        # A connection in use then would be left open.
        with self._looking:
            self._engine.dispose()

    @contextmanager
    def let_go(self) -> Iterator[None]:
        """Have nothing open and hear of nothing, so that another file can take the place.

        Whoever asks during that opens it anew. What comes after works on what is there then.
        """
        with self._looking:
            self._engine.dispose()
            yield


class _AtOnce(SqlStore):
    """A store within one transaction of another; each verb has its entry in the history."""

    def __init__(self, engine: Engine, place: str, session: Session) -> None:
        super().__init__(engine, place)
        self._session = session
        self.concluded: set[int] = set()
        # Sessions forget rows that nobody holds; asked for again and again they are read once.
        self._held: list[object] = []
        self._small: dict[type, Sequence[Any]] = {}
        for moment in ("loaded_as_persistent", "pending_to_persistent"):
            event.listen(session, moment, lambda _, row: self._held.append(row))

    @contextmanager
    def _asking(self) -> Iterator[Session]:
        yield self._session

    _trying = _asking

    @contextmanager
    def writing(self, act: Act, verb: str) -> Iterator[SqlWriting]:
        transaction = SqlWriting(self._session)
        yield transaction
        self.concluded.add(transaction.conclude(act, verb))
        self._small.clear()

    def every(self, kind: type[R]) -> Sequence[R]:
        """Return all of a small kind, read once between two transactions."""
        if kind not in self._small:
            self._small[kind] = super().every(kind)
        return self._small[kind]

    def close(self) -> None:
        """Leave the connection to the store that it belongs to."""


def _change(entry: Entry) -> Change:
    kinds = frozenset(kind for kind, _, _ in touched(entry))
    return Change(entry.number, entry.verb, entry.act, kinds)


def _changed_files(session: Session) -> Iterator[str]:
    """Yield the kept files that aren't what they were; read singly, since they may be large."""
    for name in session.scalars(select(FileRow.sha256)).all():
        data = session.scalars(select(FileRow.data).filter_by(sha256=name)).one()
        if sha256(data).hexdigest() != name:
            yield f"file {name}"


def _of_the_file(connection: Connection) -> Iterator[str]:
    said = [str(row[0]) for row in connection.exec_driver_sql("PRAGMA integrity_check")]
    yield from said if said != ["ok"] else ()
    for row in connection.exec_driver_sql("PRAGMA foreign_key_check"):
        yield f"{row[0]} {row[1]}: {row[2]}"
