"""What can be asked of the tables, in a session of its own or in that of a transaction."""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections.abc import Collection, Sequence
from contextlib import AbstractContextManager
from typing import Any, TypeVar

from sqlalchemy import false, or_, select
from sqlalchemy.orm import Session

from formulary.bench.stages import Stage
from formulary.folding import as_key
from formulary.formula.version import Formula, Version
from formulary.preparation import LabelPrint, Preparation
from formulary.records import chain, register, rows, rules, search
from formulary.records.tables import (
    FileRow,
    FormulaRow,
    HistoryRow,
    LabelPrintRow,
    PreparationRow,
    VersionRow,
)
from formulary.store import Entry, Hit, Record, RegisterRow, Sorting

R = TypeVar("R", bound=Record)

_AT_ONCE = 500
"""Values in one question; more are asked for in turn."""


class SqlReading(ABC):
    """Fulfils :class:`formulary.store.Reading`."""

    @abstractmethod
    def _asking(self) -> AbstractContextManager[Session]:
        """Open the session in which one question is answered."""

    def get(self, kind: type[R], record_id: str) -> R | None:
        shelf = rows.shelf(kind)
        with self._asking() as session:
            row = session.get(shelf.row, record_id)
            return None if row is None else shelf.of_row(row)

    def every(self, kind: type[R]) -> Sequence[R]:
        shelf = rows.shelf(kind)
        with self._asking() as session:
            records = [shelf.of_row(row) for row in session.scalars(select(shelf.row))]
        # Sorted here, because each engine has its own idea of the order of text.
        return sorted(records, key=lambda record: record.id)

    def having(self, kind: type[R], **fields: str) -> Sequence[R]:
        shelf = rows.shelf(kind)
        with self._asking() as session:
            found = session.scalars(select(shelf.row).filter_by(**fields))
            records = [shelf.of_row(row) for row in found]
        return sorted(records, key=lambda record: record.id)

    def having_any(self, kind: type[R], field: str, values: Collection[str]) -> Sequence[R]:
        shelf, wanted = rows.shelf(kind), sorted(values)
        column = getattr(shelf.row, field)
        records = []
        with self._asking() as session:
            for first in range(0, len(wanted), _AT_ONCE):
                asked = select(shelf.row).where(column.in_(wanted[first : first + _AT_ONCE]))
                records += [shelf.of_row(row) for row in session.scalars(asked)]
        return sorted(records, key=lambda record: record.id)

    def columns(
        self, kind: type[R], names: Sequence[str], field: str, values: Collection[str]
    ) -> Sequence[tuple[Any, ...]]:
        row = rows.shelf(kind).row
        asked = select(*(getattr(row, name) for name in names))
        column, wanted = getattr(row, field), sorted(values)
        found: list[tuple[Any, ...]] = []
        with self._asking() as session:
            for first in range(0, len(wanted), _AT_ONCE):
                some = asked.where(column.in_(wanted[first : first + _AT_ONCE]))
                found += map(tuple, session.execute(some))
        return found

    def file(self, sha256: str) -> bytes | None:
        with self._asking() as session:
            row = session.get(FileRow, sha256)
            return None if row is None else rules.whole_file(sha256, row.data)

    def find_formulas(self, text: str, limit: int = 50, offset: int = 0) -> Sequence[Hit]:
        with self._asking() as session:
            return search.find(session, text, limit, offset)

    def formulas_named(self, text: str) -> Sequence[Formula]:
        key = as_key(text)
        wanted = select(FormulaRow).where(
            or_(FormulaRow.code_key == key, FormulaRow.title_key == key)
        )
        with self._asking() as session:
            found = [rows.formula_of(row) for row in session.scalars(wanted)]
        return sorted(found, key=lambda formula: formula.id)

    def versions(self, formula_id: str) -> Sequence[Version]:
        wanted = select(VersionRow).where(VersionRow.formula_id == formula_id)
        with self._asking() as session:
            rows_ = session.scalars(wanted.order_by(VersionRow.number))
            return [rows.version_of(row) for row in rows_]

    def preparation(self, lot: str) -> Preparation | None:
        with self._asking() as session:
            row = session.scalar(select(PreparationRow).where(PreparationRow.lot == lot))
            return None if row is None else rows.preparation_of(row)

    def register(
        self,
        text: str = "",
        limit: int = 50,
        offset: int = 0,
        stage: Stage | None = None,
        sorting: Sorting = Sorting.NEWEST,
        among: Collection[str] | None = None,
    ) -> Sequence[RegisterRow]:
        asked = register.Asked(text, stage, sorting, among)
        with self._asking() as session:
            return register.page(session, asked, limit, offset)

    def prints(self, preparation_id: str) -> Sequence[LabelPrint]:
        wanted = select(LabelPrintRow).where(LabelPrintRow.preparation_id == preparation_id)
        in_order = wanted.order_by(LabelPrintRow.printed_at, LabelPrintRow.id)
        with self._asking() as session:
            return [rows.label_print_of(row) for row in session.scalars(in_order)]

    def entries_about(self, marks: Collection[str], person_id: str = "") -> Sequence[Entry]:
        about = [HistoryRow.details.contains(mark, autoescape=True) for mark in marks]
        if person_id:
            about.append(HistoryRow.person_id == person_id)
        wanted = select(HistoryRow).where(or_(false(), *about)).order_by(HistoryRow.number)
        with self._asking() as session:
            return [rows.entry_of(row) for row in session.scalars(wanted)]

    def last_change(self, kind: type[Record], record_id: str) -> Entry | None:
        put = HistoryRow.details.contains(chain.mark_of(kind, record_id), autoescape=True)
        newest = select(HistoryRow).where(put).order_by(HistoryRow.number.desc()).limit(1)
        with self._asking() as session:
            row = session.scalars(newest).first()
            return None if row is None else rows.entry_of(row)

    def last_entry(self) -> Entry | None:
        newest = select(HistoryRow).order_by(HistoryRow.number.desc()).limit(1)
        with self._asking() as session:
            row = session.scalars(newest).first()
            return None if row is None else rows.entry_of(row)

    def history(self, after: int = 0, limit: int = 100) -> Sequence[Entry]:
        wanted = select(HistoryRow).where(HistoryRow.number > after)
        with self._asking() as session:
            found = session.scalars(wanted.order_by(HistoryRow.number).limit(limit))
            return [rows.entry_of(row) for row in found]
