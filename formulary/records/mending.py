"""Writing anew what is worked out from records (columns, lines, hits, the index), and guards."""

from __future__ import annotations

from sqlalchemy import text
from sqlalchemy.orm import Session

from formulary.canonical import KINDS
from formulary.formula.content import Content
from formulary.formula.version import Formula, Version
from formulary.records import derived, rows
from formulary.records.derived_check import astray
from formulary.records.guards import put_back
from formulary.records.kept_rows import kept_rows
from formulary.store import Record

_WORDS_ANEW = text("INSERT INTO formula_words(formula_words) VALUES ('rebuild')")


def mend(session: Session) -> int:
    """Write anew whatever isn't as the records give it; return how many rows that were.

    The records themselves stay as they are: whether those are as they were kept is for
    :func:`formulary.records.verifying.verify` to say, and to be asked first.
    """
    mended = sum(_columns(session, kind) for kind in KINDS if kind is not Content)
    mended += len([*astray(session)]) + put_back(session)
    for row in kept_rows(session, Version):
        if isinstance(row.record, Version):
            derived.write_lines(session, row.record)
    derived.refresh_formulas(session, [each.record_id for each in kept_rows(session, Formula)])
    if session.get_bind().dialect.name == "sqlite":
        session.execute(_WORDS_ANEW)
    session.flush()
    return mended


def _columns(session: Session, kind: type[Record]) -> int:
    found = [each.record for each in kept_rows(session, kind) if each.astray]
    records = [each for each in found if each is not None]
    for record in records:
        session.merge(rows.shelf(kind).to_row(record))
    session.flush()
    return len(records)
