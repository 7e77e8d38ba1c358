"""Running numbers: that they go on where they stopped, so that none is given twice or left out.

A counter is called by what it counts: ``lot 2026``, ``order 2026``, ``container``. After a backup
was restored it goes on behind the numbers that were given since, which stand on labels and papers.
"""

from __future__ import annotations

import json
import sqlite3
from collections import defaultdict
from collections.abc import Iterator, Mapping
from contextlib import closing
from pathlib import Path

from sqlalchemy import select
from sqlalchemy.orm import InstrumentedAttribute, Session

from formulary.records.schema import connected
from formulary.records.tables import (
    CounterRow,
    HistoryRow,
    LotCounterRow,
    OrderRow,
    PreparationRow,
    StockContainerRow,
)

CONTAINER = "container"
PASSED_OVER = "passed_over"
"""What an entry that restored a backup tells of numbers that were left out."""

UNKNOWN = 100
"""So many numbers are left out where nobody knows how many were given; our choice, no source."""


def counted(session: Session) -> dict[str, int]:
    """Return where each counter stands."""
    lots = {f"lot {row.year}": row.last for row in session.scalars(select(LotCounterRow))}
    return lots | {row.name: row.last for row in session.scalars(select(CounterRow))}


def counted_in_file(place: Path) -> dict[str, int] | None:
    """Return where each counter of a file stands; None where there is none that can be read."""
    try:
        with closing(connected(place)) as connection:
            lots = connection.execute("SELECT 'lot ' || year, last FROM lot_counter").fetchall()
            return dict([*lots, *connection.execute("SELECT name, last FROM counter")])
    except sqlite3.Error:
        return None


def pass_over(session: Session, given: Mapping[str, int] | None, year: int) -> dict[str, int]:
    """Let counters go on behind numbers that were given elsewhere; return those that do.

    Without knowing them (None) so many are left out that none is likely to come twice.
    """
    here = counted(session)
    if given is None:
        names = (f"lot {year}", f"order {year}", CONTAINER)
        given = {name: here.get(name, 0) + UNKNOWN for name in names}
    raised = {name: last for name, last in given.items() if last > here.get(name, 0)}
    for name, last in raised.items():
        kind, _, of_year = name.partition(" ")
        if kind == "lot":
            session.merge(LotCounterRow(year=int(of_year), last=last))
        else:
            session.merge(CounterRow(name=name, last=last))
    session.flush()
    return raised


def astray(session: Session) -> Iterator[str]:
    """Yield which counters stand neither at the last number given nor where one was passed over."""
    here, due = counted(session), _given(session)
    for name, last in _passed_over(session).items():
        due[name] = max(last, due.get(name, 0))
    for name in sorted({*here, *due}):
        if here.get(name, 0) != due.get(name, 0):
            yield name


def _given(session: Session) -> dict[str, int]:
    """Return the last number given of each kind, by what bears it."""
    lots = _last_of_years(session, PreparationRow.lot)
    orders = _last_of_years(session, OrderRow.number)
    return {
        **{f"lot {2000 + year}": last for year, last in lots.items()},
        **{f"order {2000 + year}": last for year, last in orders.items()},
        CONTAINER: _last_container(session),
    }


def _passed_over(session: Session) -> dict[str, int]:
    """Return up to which number each counter was let go on after a backup was restored."""
    found: dict[str, int] = {}
    for details in session.scalars(select(HistoryRow.details).where(HistoryRow.verb == "restore")):
        told = str(json.loads(details)["told"].get(PASSED_OVER, ""))
        for each in filter(None, told.split("; ")):
            name, _, last = each.partition(": ")
            found[name] = max(int(last), found.get(name, 0))
    return found


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
