"""Finding formulas as somebody types: by the beginning of the title, of the code, of any word."""

from __future__ import annotations

from collections.abc import Sequence

from sqlalchemy import ColumnElement, Select, and_, func, literal, not_, select, text, true
from sqlalchemy.orm import InstrumentedAttribute, Session

from formulary.canonical import from_plain
from formulary.formula.content import Form
from formulary.formula.version import State
from formulary.records.folding import in_order, sought_words
from formulary.records.searchable import Keeping
from formulary.records.tables import FormulaSearchRow
from formulary.store import Hit

_ROW = FormulaSearchRow
_SHOWN = (
    _ROW.formula_id,
    _ROW.code,
    _ROW.title,
    _ROW.form,
    _ROW.state,
    _ROW.keeping,
)
_AFTER_EVERY_SIGN = "\U0010ffff"


def find(session: Session, typed: str, limit: int, offset: int) -> list[Hit]:
    """Return one page of hits: titles that begin so, then codes, then all others.

    The first two come in their own order, the others as they were first put, since sorting
    thousands of hits for two letters would cost more than the search.
    """
    words = sought_words(typed)
    if not words:
        parts = [_by_title(true())]
    else:
        title = _begins(_ROW.title_order, in_order(typed))
        code = _begins(_ROW.code_order, in_order(typed))
        parts = [
            _by_title(title),
            select(*_SHOWN).where(code, not_(title)).order_by(_ROW.code_order, _ROW.number),
            _matching(session, words).where(not_(title), not_(code)).order_by(_ROW.number),
        ]
    return [_hit(*row) for row in _page(session, parts, limit, offset)]


def _by_title(condition: ColumnElement[bool]) -> Select[str, str, str, str, str, str]:
    return select(*_SHOWN).where(condition).order_by(_ROW.title_order, _ROW.number)


def _begins(column: InstrumentedAttribute[str], start: str) -> ColumnElement[bool]:
    return and_(column >= start, column < start + _AFTER_EVERY_SIGN)
