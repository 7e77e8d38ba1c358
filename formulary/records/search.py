"""Finding formulas as somebody types: by the beginning of the title, of the code, of any word."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from sqlalchemy import (
    ColumnElement,
    Select,
    and_,
    cast,
    column,
    func,
    literal_column,
    not_,
    select,
    table,
    true,
)
from sqlalchemy.dialects.postgresql import TSQUERY
from sqlalchemy.orm import InstrumentedAttribute, Session

from formulary.canonical import from_canonical_text
from formulary.formula.content import Form
from formulary.formula.version import State
from formulary.records.folding import in_order, sought_words
from formulary.records.searchable import Keeping
from formulary.records.tables import FormulaSearchRow
from formulary.store import Hit

_ROW = FormulaSearchRow
_SHOWN: tuple[Any, ...] = (
    _ROW.formula_id,
    _ROW.code,
    _ROW.title,
    _ROW.form,
    _ROW.state,
    _ROW.keeping,
)
_SQLITE_WORDS = table("formula_words", column("rowid"))
_POSTGRES_WORDS: ColumnElement[Any] = literal_column("formula_search.tokens")
_LAST_SIGN = "\U0010ffff"


def find(session: Session, typed: str, limit: int, offset: int) -> list[Hit]:
    """Return one page of hits: titles that begin so, then codes, then all others.

    The first two come in their own order, the others as they were first put, since sorting
    thousands of hits for two letters would cost more than the search.
    """
    words = sought_words(typed)
    if not words:
        return _page(session, [_by_title(true())], limit, offset)
    title = _begins(_ROW.title_order, in_order(typed))
    code = _begins(_ROW.code_order, in_order(typed))
    parts = (
        _by_title(title),
        select(*_SHOWN).where(code, not_(title)).order_by(_ROW.code_order, _ROW.number),
        _containing(session, words).where(not_(title), not_(code)),
    )
    return _page(session, parts, limit, offset)


def _by_title(condition: ColumnElement[bool]) -> Select[Any]:
    return select(*_SHOWN).where(condition).order_by(_ROW.title_order, _ROW.number)


def _begins(name: InstrumentedAttribute[str], start: str) -> ColumnElement[bool]:
    return and_(name >= start, name < start + _LAST_SIGN)


def _containing(session: Session, words: list[str]) -> Select[Any]:
    """Return the formulas in which each word begins a word; words hold letters and digits only."""
    if session.get_bind().dialect.name == "sqlite":
        sought = " ".join(f'"{word}"*' for word in words)
        index = select(*_SHOWN).join_from(_SQLITE_WORDS, _ROW, _SQLITE_WORDS.c.rowid == _ROW.number)
        matching = literal_column("formula_words").op("MATCH", is_comparison=True)(sought)
        return index.where(matching).order_by(_SQLITE_WORDS.c.rowid)
    query = cast(" & ".join(f"'{word}':*" for word in words), TSQUERY)
    return select(*_SHOWN).where(_POSTGRES_WORDS.op("@@")(query)).order_by(_ROW.number)


def _page(session: Session, parts: Iterable[Select[Any]], limit: int, offset: int) -> list[Hit]:
    """Return one page over several selects as if they were one after another."""
    hits: list[Hit] = []
    for part in parts:
        found = session.execute(part.limit(limit - len(hits)).offset(offset)).all()
        hits += [_hit(*row) for row in found]
        if len(hits) == limit:
            break
        offset = 0 if found else offset - _count(session, part, offset)
    return hits


def _count(session: Session, part: Select[Any], offset: int) -> int:
    """Return how many rows come before the page in a part that it lies wholly behind."""
    if offset == 0:
        return 0
    counted = select(func.count()).select_from(part.order_by(None).subquery())
    return session.execute(counted).scalar_one()


def _hit(formula_id: str, code: str, title: str, *shown: str) -> Hit:
    form, state, keeping = shown
    kept = from_canonical_text(Keeping, keeping)
    return Hit(formula_id, code, title, Form(form), State(state), kept.storage, kept.shelf_life)
