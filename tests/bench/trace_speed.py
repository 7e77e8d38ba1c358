"""A lot traced forward among 100,000 preparations, beside the raw indexed queries of its walk."""

from __future__ import annotations

import random
import sqlite3
import tempfile
import time
from collections.abc import Callable, Iterable, Iterator
from dataclasses import replace
from fractions import Fraction
from functools import partial
from pathlib import Path

from formulary.canonical import canonical_text
from formulary.ingredient import Ingredient
from formulary.people import Person, Post
from formulary.quantity.amount import Amount
from formulary.records.opening import open_store
from formulary.records.sql_store import SqlStore
from formulary.stock.lot import SupplyLot
from formulary.stock.moves import Cause, StockMove
from formulary.stock.numbers import container_number
from formulary.tracing import Way, trace
from formulary.verbs.trace_links import forward, lot_node
from tests.bench.measuring import MILLISECOND, Figure, percentile
from tests.helpers.kept import ACT, NOW, a_content, a_preparation, keep_formula
from tests.helpers.stocked import a_lot

PREPARATIONS = 100_000
WEIGHINGS_EACH, JARS_EACH = 10, 2
LOTS, CONTAINERS_EACH = 10_000, 4
WALKS = 100
RAW = (
    "SELECT c.id, c.number FROM stock_container c WHERE c.lot_id = ?",
    (
        "SELECT m.id, m.container_id, m.preparation_lot, p.id"
        " FROM stock_container c JOIN stock_move m ON m.container_id = c.id"
        " JOIN preparation p ON p.lot = m.preparation_lot"
        " WHERE c.lot_id = ? AND m.cause = 'weighed'"
    ),
    (
        "SELECT DISTINCT j.id, j.preparation_id, j.place, j.recipient_id"
        " FROM stock_container c JOIN stock_move m ON m.container_id = c.id"
        " JOIN preparation p ON p.lot = m.preparation_lot"
        " JOIN filled_jar j ON j.preparation_id = p.id"
        " WHERE c.lot_id = ? AND m.cause = 'weighed'"
    ),
    (
        "SELECT DISTINCT l.id FROM stock_container c JOIN stock_move m ON m.container_id = c.id"
        " JOIN preparation p ON p.lot = m.preparation_lot JOIN supply_lot l ON l.made_as = p.id"
        " WHERE c.lot_id = ?"
    ),
)
LOT = a_lot(ingredient_id="i-1")
MOVE = StockMove("m", "c", Amount(Fraction(-5), "g"), Cause.WEIGHED, NOW, "p-1", "Ada Berg")


def _lots() -> Iterator[tuple[str, ...]]:
    for number in range(LOTS):
        body = canonical_text(replace(LOT, id=f"l-{number}", number=f"N-{number}"))
        yield f"l-{number}", body, "i-1", f"N-{number}", "accepted", ""


def _containers() -> Iterator[tuple[str, ...]]:
    for number in range(LOTS * CONTAINERS_EACH):
        lot = f"l-{number // CONTAINERS_EACH}"
        yield f"c-{number}", "{}", container_number(number + 1), lot, ""


def _preparations(columns: list[str], row: tuple[object, ...]) -> Iterator[tuple[object, ...]]:
    at, lot_at = columns.index("id"), columns.index("lot")
    for number in range(PREPARATIONS):
        made = list(row)
        made[at], made[lot_at] = f"m-{number}", f"T26-{number:06d}"
        yield tuple(made)


def _jars() -> Iterator[tuple[str, ...]]:
    """Yield two jars of each preparation, both at its patient's."""
    for number in range(PREPARATIONS * JARS_EACH):
        made = number // JARS_EACH
        name = f"T26-{made:06d}/{number % JARS_EACH + 1}"
        yield name, "{}", f"m-{made}", "patient", f"x-{made % 30_000}"


def _moves(chance: random.Random) -> Iterator[tuple[str, ...]]:
    body = canonical_text(MOVE)
    for number in range(PREPARATIONS * WEIGHINGS_EACH):
        container = f"c-{chance.randrange(LOTS * CONTAINERS_EACH)}"
        lot = f"T26-{number // WEIGHINGS_EACH:06d}"
        yield f"w-{number}", body, container, lot, "weighed", "p-1"


def _fill(path: Path, chance: random.Random) -> None:
    """Write rows straight into the file, as years of acts would leave them."""
    store = open_store(path)
    keep_formula(store, a_content())
    with store.writing(ACT, "keep") as writing:
        writing.put(Ingredient("i-1", "Zinc oxide"))
        writing.put(Person("p-1", "Ada Berg", Post.PHARMACIST))
        writing.put(a_preparation("first", "T26-first"))
    store.close()
    with sqlite3.connect(path) as connection:
        connection.execute("PRAGMA synchronous=OFF")
        many = connection.executemany
        many(
            "INSERT INTO supply_lot (id, revision, body, ingredient_id, number, status, made_as)"
            " VALUES (?, 1, ?, ?, ?, ?, ?)",
            _lots(),
        )
        many(
            "INSERT INTO stock_container (id, revision, body, number, lot_id, filled_from)"
            " VALUES (?, 1, ?, ?, ?, ?)",
            _containers(),
        )
        found = connection.execute("SELECT * FROM preparation")
        columns = [each[0] for each in found.description]
        marks = ", ".join("?" * len(columns))
        many(
            f"INSERT INTO preparation ({', '.join(columns)}) VALUES ({marks})",  # noqa: S608
            _preparations(columns, found.fetchone()),
        )
        many(
            "INSERT INTO stock_move (id, revision, body, container_id, preparation_lot, cause,"
            " person_id) VALUES (?, 1, ?, ?, ?, ?, ?)",
            _moves(chance),
        )
        many(
            "INSERT INTO filled_jar (id, revision, body, preparation_id, place, recipient_id)"
            " VALUES (?, 1, ?, ?, ?, ?)",
            _jars(),
        )
        connection.execute("ANALYZE")


def figures() -> Iterable[Figure]:
    """Yield the median and the 95th percentile of a walk from one lot to every jar."""
    chance = random.Random(11)  # noqa: S311  the same walks in every run
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "many.misce"
        open_store(path, create=True).close()
        _fill(path, chance)
        store, raw = open_store(path), sqlite3.connect(path)
        ours, floors = [], []
        for number in (chance.randrange(LOTS) for _ in range(WALKS)):
            lot = replace(LOT, id=f"l-{number}", number=f"N-{number}")
            _floor(raw, lot.id)  # the pages are in memory for both
            floors.append(_time(partial(_floor, raw, lot.id)))
            ours.append(_time(partial(_walk, store, lot)))
        raw.close()
        store.close()
    for part, aim in ((0.5, "<= 3x"), (0.95, "<= 3x, under 50 ms")):
        name = f"trace among 100,000 preparations, p{int(part * 100)}"
        yield Figure(name, "ms", percentile(ours, part), percentile(floors, part), aim)


def _floor(raw: sqlite3.Connection, lot_id: str) -> object:
    return [raw.execute(query, (lot_id,)).fetchall() for query in RAW]


def _walk(store: SqlStore, lot: SupplyLot) -> object:
    return trace([lot_node(lot)], Way.FORWARD, forward(store))


def _time(work: Callable[[], object]) -> float:
    start = time.perf_counter()
    work()
    return (time.perf_counter() - start) / MILLISECOND
