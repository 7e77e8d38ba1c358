"""One transaction on the tables."""

from __future__ import annotations

from collections.abc import Mapping
from contextlib import AbstractContextManager, nullcontext
from typing import Any, TypeVar

from sqlalchemy import select
from sqlalchemy.orm import Session

from formulary.acts import Act
from formulary.canonical import clean_text
from formulary.errors import StoreTrouble
from formulary.formula.version import Formula, Version
from formulary.house import House
from formulary.ingredient import Ingredient
from formulary.messages import message
from formulary.orders.numbers import order_number
from formulary.records import chain, counters, derived, mending, rows, rules
from formulary.records.name_key import under_key
from formulary.records.reading import SqlReading
from formulary.records.tables import (
    ChainHeadRow,
    CounterRow,
    FileRow,
    IdentityRow,
    LotCounterRow,
)
from formulary.records.watching import CALL
from formulary.store import Record

R = TypeVar("R", bound=Record)


class SqlWriting(SqlReading):
    """Fulfils :class:`formulary.store.Writing` within a session whose transaction is open.

    Its first step locks the head of the history, so that transactions come one after another.
    """

    def __init__(self, session: Session) -> None:
        self._session = session
        self._put: list[dict[str, Any]] = []
        self._removed: list[dict[str, Any]] = []
        self._told: dict[str, str | int] = {}
        head = session.scalars(select(ChainHeadRow).with_for_update()).first()
        if head is None:
            raise StoreTrouble(message("store.history_has_no_end"))
        self._head = head

    def _asking(self) -> AbstractContextManager[Session]:
        return nullcontext(self._session)

    def put(self, record: R) -> R:
        before = self.get(type(record), record.id)
        record = rules.admitted(record, before, self)
        row = rows.shelf(type(record)).to_row(record)
        if isinstance(row, IdentityRow):
            self._put_under_key(row)
        if before is None:
            self._session.add(row)
        else:
            row = self._session.merge(row)
        self._session.flush()
        if isinstance(row, IdentityRow):
            # Read again, its texts are what they were before they went under the key.
            self._session.expire(row)
        self._derive(record, before)
        self._put.append(chain.put_detail(record, before))
        return record

    def _put_under_key(self, row: IdentityRow) -> None:
        key = next((house.names_key for house in self.every(House)), "")
        row.name, row.details = under_key(row.name, key), under_key(row.details, key)

    def remove(self, kind: type[R], record_id: str) -> None:
        rules.check_removal(kind)
        row = self._session.get(rows.shelf(kind).row, record_id)
        if row is None:
            raise rules.missing(kind)
        self._session.delete(row)
        self._session.flush()
        self._removed.append(chain.removed_detail(kind, record_id))

    def allot_lot(self, year: int) -> str:
        counter = self._session.get(LotCounterRow, year)
        if counter is None:
            counter = LotCounterRow(year=year, last=0)
            self._session.add(counter)
        counter.last += 1
        self._session.flush()
        return rules.lot(self.every(House), year, counter.last)

    def allot_containers(self, count: int) -> int:
        return self._allot(counters.CONTAINER, count)

    def allot_order(self, year: int) -> str:
        return order_number(year, self._allot(f"order {year}"))

    def pass_over(self, given: Mapping[str, int] | None, year: int) -> None:
        """Let running numbers go on behind those given elsewhere, and tell which were left out."""
        raised = counters.pass_over(self._session, given, year)
        if raised:
            said = "; ".join(f"{name}: {last}" for name, last in sorted(raised.items()))
            self.tell(**{counters.PASSED_OVER: said})

    def keep_file(self, data: bytes) -> str:
        sha256 = rules.file_hash(data)
        if self._session.get(FileRow, sha256) is None:
            self._session.add(FileRow(sha256=sha256, data=data))
            self._session.flush()
        return sha256

    def tell(self, **details: str | int) -> None:
        for name, said in details.items():
            self._told[name] = clean_text(said) if isinstance(said, str) else said

    def mend(self) -> int:
        """Write anew what is worked out from records and isn't as they give it; return how much."""
        return mending.mend(self._session)

    def conclude(self, act: Act, verb: str) -> int:
        """Append the history entry of all that was done and return its number."""
        details = chain.details_text(self._put, self._removed, self._told)
        entry = chain.sealed(self._head.number + 1, verb, act, details, self._head.hash)
        self._session.add(rows.history_row(entry))
        self._head.number, self._head.hash = entry.number, entry.hash
        self._session.flush()
        if self._session.get_bind().dialect.name == "postgresql":
            self._session.execute(CALL)
        return entry.number

    def _allot(self, name: str, count: int = 1) -> int:
        """Return the first of so many running numbers under a name."""
        counter = self._session.get(CounterRow, name)
        if counter is None:
            counter = CounterRow(name=name, last=0)
            self._session.add(counter)
        first = counter.last + 1
        counter.last += count
        self._session.flush()
        return first

    def _derive(self, record: Record, before: Record | None) -> None:
        match record:
            case Version():
                if not isinstance(before, Version) or before.content != record.content:
                    derived.write_lines(self._session, record)
                derived.refresh_formulas(self._session, [record.formula_id])
            case Formula():
                derived.refresh_formulas(self._session, [record.id])
            case Ingredient():
                self._rename(record, before if isinstance(before, Ingredient) else None)

    def _rename(self, ingredient: Ingredient, before: Ingredient | None) -> None:
        """Let formulas be found by an ingredient's names of today; each takes a millisecond."""
        if before is not None and _names(before) == _names(ingredient):
            return
        names = {each.name for each in (ingredient, before) if each is not None}
        found = derived.formulas_with(self._session, ingredient.id, names)
        derived.refresh_formulas(self._session, found)


def _names(ingredient: Ingredient) -> tuple[str, ...]:
    return (ingredient.name, ingredient.latin, *ingredient.synonyms)
