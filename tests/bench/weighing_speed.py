"""How long the bench takes from a reading to the next line: recorded, on disk, and worked out.

The floor is one transaction of SQLite that adds three rows to a file of its own on the same disk.
"""

from __future__ import annotations

import sqlite3
import tempfile
import time
from collections.abc import Iterator
from contextlib import closing
from dataclasses import dataclass, replace
from pathlib import Path

from formulary.bench.balance_checks import WeightRead
from formulary.bench.events import BenchCleared, PlanChecked
from formulary.bench.reading import Reading
from formulary.bench.to_do import to_do
from formulary.bench.weighing import remaining
from formulary.desk import Desk
from formulary.exchange.sample_figures import container, factor_of, instrument_named
from formulary.exchange.sample_house import sample_pins
from formulary.opening import create_sample
from formulary.people import Person
from formulary.quantity.rounding import round_half_even_to
from formulary.verbs.check_balance import check_balance
from formulary.verbs.start_preparation import Order, start_preparation
from formulary.verbs.weigh_line import weigh_line
from formulary.verbs.work_at_bench import at_bench, record
from tests.bench.measuring import MILLISECOND, Figure, percentile

TIMES = 12
"""How often the same preparation is weighed."""
FORMULA, TARGET = "CR-001", "3 x 100 g"
CHECKER = "Ilse Corrander"
MAKER = "Maren Odenholt"
FLOORS = 60
AIM = "p95 under 50"


@dataclass(frozen=True, slots=True)
class House:
    """The sample pharmacy on disk, with somebody who makes and somebody who checks."""

    maker: Desk
    checker: Desk
    pin: str


def figures() -> Iterator[Figure]:
    """Yield the time from a reading to the next line."""
    with tempfile.TemporaryDirectory() as folder:
        desk = create_sample(Path(folder) / "house.misce", worked=False)
        try:
            took = list(_weighings(_furnished(desk)))
        finally:
            desk.store.close()
        floor = percentile(list(_floors(Path(folder) / "floor.db")), 0.95)
    yield Figure("from a reading to the next line, p95", "ms", percentile(took, 0.95), floor, AIM)
    yield Figure("from a reading to the next line, median", "ms", percentile(took, 0.5), floor, AIM)


def _furnished(desk: Desk) -> House:
    people = {each.name: each for each in desk.store.every(Person)}
    maker = replace(desk, person=people[MAKER], signed_in=True)
    for balance in desk.house.balances:
        check_balance(maker, balance, [WeightRead(each, each.nominal) for each in balance.weights])
    pins = {name: pin for name, _, pin in sample_pins()}
    return House(maker, replace(maker, person=people[CHECKER]), pins[CHECKER])


def _weighings(house: House) -> Iterator[float]:
    store = house.maker.store
    (formula,) = store.formulas_named(FORMULA)
    version = store.versions(formula.id)[-1]
    for number in range(TIMES):
        maker = replace(house.maker, workstation=f"Bench {number}")
        lot = start_preparation(maker, version.id, Order(TARGET)).lot
        record(house.checker, lot, PlanChecked(), pin=house.pin)
        record(maker, lot, BenchCleared(maker.house.clearance))
        yield from _lines(maker, lot)


def _lines(desk: Desk, lot: str) -> Iterator[float]:
    """Weigh what the first steps need, one reading a line."""
    work = at_bench(desk.store, lot)
    steps = work.state.job.method.steps
    for position in sorted({line for each in work.state.open_steps for line in steps[each].opens}):
        line, planned = work.state.lines[position], work.state.job.plan.lines[position]
        held = container(desk, work, position)
        instrument = instrument_named(desk.house, planned.instrument)
        amount = remaining(line, factor_of(desk, work, line, held)).result
        amount = round_half_even_to(amount, instrument.readability)
        reading = Reading(amount, instrument.name, held.container.number)
        start = time.perf_counter()
        after = weigh_line(desk, lot, position, reading)
        to_do(after.state, desk.clock.now())
        yield (time.perf_counter() - start) / MILLISECOND


def _floors(path: Path) -> Iterator[float]:
    with closing(sqlite3.connect(path)) as connection:
        connection.execute("PRAGMA journal_mode = WAL")
        connection.execute("PRAGMA synchronous = FULL")
        connection.execute("CREATE TABLE kept (body TEXT)")
        for _ in range(FLOORS):
            start = time.perf_counter()
            with connection:
                for _ in range(3):
                    connection.execute("INSERT INTO kept VALUES (?)", ("x" * 400,))
            yield (time.perf_counter() - start) / MILLISECOND
