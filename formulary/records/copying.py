"""All that is kept, row by row: out of one formulary and into an empty one, on either database.

Rows go as they stand, so that the history and its hashes stay the same. What is worked out from
records (a version's lines, what a formula is found by) is worked out anew.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from itertools import groupby, islice, zip_longest
from operator import itemgetter
from typing import Any

from sqlalchemy import (
    Column,
    ColumnElement,
    LargeBinary,
    Select,
    String,
    Table,
    TypeDecorator,
    collate,
    column,
    insert,
    select,
    table,
    type_coerce,
    update,
)
from sqlalchemy.exc import DataError, IntegrityError
from sqlalchemy.orm import Session
from sqlalchemy.sql.expression import TableClause
from sqlalchemy.types import TypeEngine

from formulary.carried import Cells, Field, Shape
from formulary.errors import BadText, FormularyError, StoreTrouble
from formulary.messages import message
from formulary.records import derived, rows
from formulary.records.sql_store import SqlStore
from formulary.records.tables import (
    ChainHeadRow,
    FormulaRow,
    FormulaSearchRow,
    HistoryRow,
    HouseRow,
    Row,
    VersionLineRow,
    VersionRow,
)

_DERIVED = {VersionLineRow.__tablename__, FormulaSearchRow.__tablename__}
_HEAD = ChainHeadRow.__tablename__
_KEPT: dict[str, Table] = {
    each.name: each for each in Row.metadata.sorted_tables if each.name not in _DERIVED
}
_BATCH = 500


def shapes() -> tuple[Shape, ...]:
    """Return the tables that are copied, each after those that it points to."""
    return tuple(Shape(each.name, tuple(map(_field, each.columns))) for each in _KEPT.values())


def rows_of(store: SqlStore) -> Iterator[tuple[str, Cells]]:
    """Yield each row of each table under the table's name, all from one moment.

    Tables come each after those that they point to, rows in the order of their keys.
    """
    with store.session() as session:
        in_bytes = session.get_bind().dialect.name == "postgresql"
        if in_bytes and not session.in_transaction():
            # SQLite reads one moment anyway.
            session.connection(execution_options={"isolation_level": "REPEATABLE READ"})
        for name, kept in _KEPT.items():
            found = session.execute(
                _whole(kept, by_code_point=in_bytes).execution_options(yield_per=_BATCH)
            )
            for row in found.mappings():
                yield name, dict(row)


@contextmanager
def poured(given: Iterable[tuple[str, Cells]], store: SqlStore) -> Iterator[SqlStore]:
    """Put rows into an empty formulary and yield it before anything lands.

    They come as :func:`rows_of` yields them. Leaving normally lets all land, an exception none.
    Raises StoreTrouble where the formulary isn't empty, and BadText where rows contradict each
    other.
    """
    with store.at_once() as whole:
        with whole.session() as session:
            _check_empty(session, store)
            try:
                for name, found in groupby(given, key=itemgetter(0)):
                    for batch in _batches(cells for _, cells in found):
                        _put(session, _KEPT[name], batch)
                _derive(session)
            except (IntegrityError, DataError) as error:
                raise BadText(message("store.copy.contradicts")) from error
        yield whole


def compared(one: SqlStore, other: SqlStore) -> int:
    """Return how many rows two formularies have, each compared with the other's.

    Raises StoreTrouble, naming table and key, at the first that isn't alike.
    """
    count = 0
    nothing: tuple[str, Cells] = ("", {})
    for mine, theirs in zip_longest(rows_of(one), rows_of(other), fillvalue=nothing):
        if mine != theirs:
            name, cells = theirs if mine is nothing else mine
            key = next(iter(cells.values()), "")
            raise StoreTrouble(message("store.copy.not_alike", what=f"{name} {key!s}"))
        count += 1
    return count


def _field(kept: Column[object]) -> Field:
    kind: type[str | int | bytes] = str
    if isinstance(_raw(kept), LargeBinary):
        kind = bytes
    elif not isinstance(_raw(kept), String):
        kind = int
    return Field(kept.name, kind, bool(kept.nullable))


def _raw(kept: Column[object]) -> TypeEngine[object]:
    """Return the column's type as the database knows it."""
    kind: TypeEngine[object] = kept.type
    return kind.impl_instance if isinstance(kind, TypeDecorator) else kind


def _whole(kept: Table, *, by_code_point: bool) -> Select[Any]:
    cells = [type_coerce(each, _raw(each)).label(each.name) for each in kept.columns]

    def in_order(key: Column[Any]) -> ColumnElement[Any]:
        return collate(key, "C") if by_code_point and isinstance(_raw(key), String) else key

    everything: Select[Any] = select(*cells)  # type: ignore[assignment]
    return everything.order_by(*map(in_order, kept.primary_key.columns))


def _check_empty(session: Session, store: SqlStore) -> None:
    if session.scalars(select(HistoryRow.number).limit(1)).first() is not None or (
        session.scalars(select(HouseRow.id).limit(1)).first() is not None
    ):
        raise StoreTrouble(message("store.copy.not_empty", place=store.place))


def _batches(cells: Iterable[Cells]) -> Iterator[list[Cells]]:
    left = iter(cells)
    while batch := [*islice(left, _BATCH)]:
        yield batch


def _put(session: Session, kept: Table, batch: list[Cells]) -> None:
    if kept.name == _HEAD:
        # The first step of the tables has put this one row there.
        session.execute(update(_plain(kept)).values(dict(batch[-1])))
    else:
        session.execute(insert(_plain(kept)), [dict(cells) for cells in batch])


def _plain(kept: Table) -> TableClause:
    return table(kept.name, *(column(each.name, _raw(each)) for each in kept.columns))


def _derive(session: Session) -> None:
    """Raise BadText where a version can't be read: nothing can be found by it then."""
    try:
        for row in session.scalars(select(VersionRow)).all():
            derived.write_lines(session, rows.version_of(row))
        # In the order in which they were first put, in which they are listed.
        derived.refresh_formulas(session, sorted(session.scalars(select(FormulaRow.id))))
    except (FormularyError, ValueError, TypeError, KeyError) as error:
        raise BadText(message("store.copy.contradicts")) from error
