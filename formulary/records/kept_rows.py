"""Rows beside the records that they keep: which columns say something else than the record."""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from sqlalchemy import select
from sqlalchemy.orm import Session

from formulary.canonical import canonical_text, json_text, text_hash
from formulary.errors import FormularyError
from formulary.preparation import LabelPrint
from formulary.records import rows
from formulary.records.tables import Row
from formulary.store import Record

BODY = "body"
"""The column of what is kept as one text."""

CAME_LATER: dict[type, tuple[str, ...]] = {LabelPrint: ("containers", "leaflets", "layout")}
"""Numbers of what is kept in columns that earlier versions of the program didn't write."""

UNREADABLE = (FormularyError, ValueError, TypeError, KeyError)
"""What reading a row can raise that somebody wrote into by hand."""


@dataclass(frozen=True, slots=True)
class KeptRow:
    """A row's id, its record, None where it can't be read, and the columns that don't fit it.

    ``hashes`` are those of the record as it may have been written: of its text where it is kept as
    one, else also without fields that came later, since then the same record is written otherwise.
    """

    record_id: str
    record: Record | None
    astray: tuple[str, ...] = ()
    hashes: tuple[str, ...] = ()


def kept_rows(session: Session, kind: type[Record]) -> list[KeptRow]:
    """Return every row of a kind; where one can't be read they are read singly."""
    table = rows.shelf(kind).row
    try:
        found = session.scalars(select(table)).all()
    except UNREADABLE:
        session.expunge_all()
        return [_alone(session, kind, each) for each in session.scalars(select(table.id)).all()]
    return [_beside(kind, each) for each in found]


def values(row: Row) -> dict[str, Any]:
    """Return what each column of a row holds."""
    return {each.key: getattr(row, each.key) for each in type(row).__mapper__.column_attrs}


def differing(row: Row, wanted: Row) -> Iterator[str]:
    """Yield the columns in which a row isn't as wanted."""
    there = values(row)
    for name, value in values(wanted).items():
        if there[name] != value:
            yield name


def _beside(kind: type[Record], row: Any) -> KeptRow:  # noqa: ANN401  a row of the kind's table
    shelf = rows.shelf(kind)
    try:
        record = shelf.of_row(row)
        astray = differing(row, shelf.to_row(record))
        body: str | None = getattr(row, BODY, None)
        hashes = as_written(record) if body is None else (text_hash(body),)
        return KeptRow(row.id, record, tuple(each for each in astray if each != BODY), hashes)
    except UNREADABLE:
        return KeptRow(row.id, None)


def as_written(record: Record) -> tuple[str, ...]:
    """Return the hashes that the history may have of a record kept in columns."""
    plain = json.loads(canonical_text(record))
    later = CAME_LATER.get(type(record), ())
    before = {name: value for name, value in plain.items() if name not in later or value != 0}
    return text_hash(json_text(plain)), text_hash(json_text(before))


def _alone(session: Session, kind: type[Record], record_id: str) -> KeptRow:
    try:
        return _beside(kind, session.get(rows.shelf(kind).row, record_id))
    except UNREADABLE:
        return KeptRow(record_id, None)
