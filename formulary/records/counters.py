"""Whether the running numbers go on where they stopped, so that none is given twice or left out."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator

from sqlalchemy import select
from sqlalchemy.orm import InstrumentedAttribute, Session

from formulary.records.tables import (
    CounterRow,
    LotCounterRow,
    OrderRow,
    PreparationRow,
    StockContainerRow,
)


def astray(session: Session) -> Iterator[str]:
    """Yield which counters don't stand at the last number given."""
    counted = {row.year % 100: row.last for row in session.scalars(select(LotCounterRow))}
    given = _last_of_years(session, PreparationRow.lot)
    for year in sorted({*counted, *given}):
        if counted.get(year, 0) != given.get(year, 0):
            yield f"lot numbers {2000 + year}"
    running = {row.name: row.last for row in session.scalars(select(CounterRow))}
    for year, last in _last_of_years(session, OrderRow.number).items():
        if running.get(f"order {2000 + year}", 0) != last:
            yield f"order {2000 + year}"
    if running.get("container", 0) != _last_container(session):
        yield "container"


def _last_of_years(session: Session, numbers: InstrumentedAttribute[str]) -> dict[int, int]:
    """Return the last running number under each year's two digits, as in ``K26-00042``."""
    last: defaultdict[int, int] = defaultdict(int)
    for number in session.scalars(select(numbers)):
        year, _, running = number.rpartition("-")
        if year[-2:].isdecimal() and running.isdecimal():
            last[int(year[-2:])] = max(last[int(year[-2:])], int(running))
    return last


def _last_container(session: Session) -> int:
    """Return the running number of the last container, as in ``C-000042-7``."""
    parts = (each.split("-") for each in session.scalars(select(StockContainerRow.number)))
    return max((int(each[1]) for each in parts if len(each) > 1 and each[1].isdecimal()), default=0)
