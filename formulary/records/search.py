"""Finding formulas as somebody types: by the beginning of the title, of the code, of any word."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from functools import cache
from typing import Any

from sqlalchemy import (
    BindParameter,
    ColumnElement,
    Integer,
    Select,
    and_,
    bindparam,
    cast,
    column,
    func,
    literal_column,
    not_,
    select,
    table,
    true,
)
from sqlalchemy.orm import InstrumentedAttribute, Session

from formulary.folding import in_order, sought_words
from formulary.records.searchable import hit_of, withdrawn_last
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
    thousands of hits for two letters would cost more than the search. Those withdrawn close
    their page.
    """
    words = sought_words(typed)
    if not words:
        return _page(session, _everything(), {}, limit, offset)
    start = in_order(typed)
    sought = {
        "start": start,
        "behind": start + _LAST_SIGN,
        "words": _SPELLED[_dialect(session)](words),
    }
    return _page(session, _parts(_dialect(session)), sought, limit, offset)


def _dialect(session: Session) -> str:
    return session.get_bind().dialect.name


# The statements are made once: making one takes longer than answering it.


@cache
def _everything() -> tuple[Select[Any], ...]:
    return (_limited(_by_title(true())),)


@cache
def _parts(dialect: str) -> tuple[Select[Any], ...]:
    title, code = _begins(_ROW.title_order), _begins(_ROW.code_order)
    by_code = select(*_SHOWN).where(code, not_(title)).order_by(_ROW.code_order, _ROW.number)
    others = _containing(dialect).where(not_(title), not_(code))
    return tuple(_limited(part) for part in (_by_title(title), by_code, others))


def _by_title(condition: ColumnElement[bool]) -> Select[Any]:
    return select(*_SHOWN).where(condition).order_by(_ROW.title_order, _ROW.number)


def _begins(name: InstrumentedAttribute[str]) -> ColumnElement[bool]:
    return and_(name >= bindparam("start"), name < bindparam("behind"))


def _containing(dialect: str) -> Select[Any]:
    """Return the formulas in which each word begins a word."""
    words: BindParameter[str] = bindparam("words")
    if dialect == "sqlite":
        index = select(*_SHOWN).join_from(_SQLITE_WORDS, _ROW, _SQLITE_WORDS.c.rowid == _ROW.number)
        matching = literal_column("formula_words").op("MATCH", is_comparison=True)(words)
        return index.where(matching).order_by(_SQLITE_WORDS.c.rowid)
    # Half of SQLAlchemy's PostgreSQL side comes with it, which SQLite's start needn't wait for.
    from sqlalchemy.dialects.postgresql import TSQUERY

    matching = _POSTGRES_WORDS.op("@@", is_comparison=True)(cast(words, TSQUERY))
    return select(*_SHOWN).where(matching).order_by(_ROW.number)


def _limited(part: Select[Any]) -> Select[Any]:
    return part.limit(bindparam("limit", type_=Integer)).offset(bindparam("offset", type_=Integer))


def _page(
    session: Session,
    parts: Iterable[Select[Any]],
    sought: dict[str, str],
    limit: int,
    offset: int,
) -> list[Hit]:
    """Return one page over several selects as if they were one after another."""
    hits: list[Hit] = []
    for part in parts:
        asked = {**sought, "limit": limit - len(hits), "offset": offset}
        found = session.execute(part, asked).all()
        hits += [hit_of(*row) for row in found]
        if len(hits) == limit:
            break
        offset = 0 if found or not offset else offset - _count(session, part, sought)
    return withdrawn_last(hits)


def _count(session: Session, part: Select[Any], sought: dict[str, str]) -> int:
    """Return how many rows a part has, when the page lies wholly behind it."""
    everything = part.order_by(None).limit(None).offset(None).subquery()
    return session.execute(select(func.count()).select_from(everything), sought).scalar_one()


# Words hold letters and digits only, so nothing in them is read as a query.
_SPELLED: dict[str, Callable[[list[str]], str]] = {
    "sqlite": lambda words: " ".join(f'"{word}"*' for word in words),
    "postgresql": lambda words: " & ".join(f"'{word}':*" for word in words),
}
