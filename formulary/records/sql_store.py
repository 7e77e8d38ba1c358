"""The store on a database."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager

from sqlalchemy import Engine
from sqlalchemy.orm import Session

from formulary.acts import Act
from formulary.records.engine import for_writing
from formulary.records.reading import SqlReading
from formulary.records.troubles import told_of
from formulary.records.writing import SqlWriting


class SqlStore(SqlReading):
    """Fulfils :class:`formulary.store.Store`; ``place`` is what sentences call the database.

    It may be asked from any thread at any time: each question has a session and a connection of
    its own. A transaction stays in the thread that opened it; others wait for it to end.
    """

    def __init__(self, engine: Engine, place: str) -> None:
        self._engine = engine
        self._place = place

    @contextmanager
    def _asking(self) -> Iterator[Session]:
        with told_of(self._place), Session(self._engine) as session:
            yield session

    @contextmanager
    def writing(self, act: Act, verb: str) -> Iterator[SqlWriting]:
        with (
            told_of(self._place),
            # Without autobegin, whoever keeps using it after its end is told so.
            Session(for_writing(self._engine), autobegin=False) as session,
            session.begin(),
        ):
            transaction = SqlWriting(session)
            yield transaction
            transaction.conclude(act, verb)

    def close(self) -> None:
        self._engine.dispose()
