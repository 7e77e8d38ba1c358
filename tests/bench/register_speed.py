"""The register among 100,000 preparations, asked for and painted, beside bare queries and table."""

from __future__ import annotations

import sqlite3
import tempfile
import time
from collections.abc import Callable, Iterable, Iterator
from datetime import timedelta
from functools import partial
from pathlib import Path

from formulary.bench.stages import Stage
from formulary.people import Person, Post
from formulary.records.opening import open_store
from formulary.records.sql_store import SqlStore
from formulary.store import Sorting
from formulary.verbs.list_shelf import list_shelf
from tests.bench.measuring import MILLISECOND, Figure, child, percentile
from tests.helpers.kept import ACT, NOW, a_content, a_preparation, keep_formula

PREPARATIONS, JARS_EACH, ON_SHELF = 100_000, 3, 60
PAGE, QUESTIONS = 50, 60
STAGES = (Stage.HANDED_OVER,) * 8 + (Stage.RELEASED, Stage.REJECTED)
RAW = (
    "SELECT id, lot, code, title, version_number, target, made_on, use_by, stage, started_at,"
    " started_by, containers FROM preparation ORDER BY started_at DESC LIMIT 50"
)
RAW_STAGE = RAW.replace(" ORDER", " WHERE stage = 'rejected' ORDER")
RAW_USE_BY = RAW.replace("started_at DESC", "use_by ASC")
SHOWN = """
import sys, time
from pathlib import Path
from PySide6.QtWidgets import QApplication, QTableView
from PySide6.QtGui import QStandardItem, QStandardItemModel
from formulary.opening import open_desk
from ui import theme
from ui.context import Context
from ui.register.page import RegisterPage

app = QApplication([])
theme.apply(app, type_factor=1.0, dark=False)
desk = open_desk(sys.argv[1])
from formulary.people import Person
context = Context()
context.sit_down(desk, desk.house, tuple(desk.store.every(Person)))

def milliseconds(work, runs=1):
    found = []
    for _ in range(runs):
        start = time.perf_counter()
        work()
        found.append((time.perf_counter() - start) * 1000)
    return sorted(found)[len(found) // 2]

def ready():
    while context.operations.busy:
        app.processEvents()
        time.sleep(0.0005)
    app.processEvents()

def opened():
    page = RegisterPage(context)
    page.resize(1280, 760)
    page.show()
    page.shown()
    ready()
    return page

# Kept: a page that is dropped would be collected in the worker's thread.
pages = []
first = milliseconds(lambda: pages.append(opened()))
page = pages[0]
bare = QTableView()
model = QStandardItemModel(page.model.rowCount(), page.model.columnCount())
for row in range(model.rowCount()):
    for column in range(model.columnCount()):
        text = str(page.model.index(row, column).data())
        model.setItem(row, column, QStandardItem(text))
bare.setModel(model)
bare.setShowGrid(False)
bare.verticalHeader().hide()
bare.verticalHeader().setDefaultSectionSize(page.table.verticalHeader().defaultSectionSize())
bare.resize(page.table.size())
for column in range(model.columnCount()):
    bare.setColumnHidden(column, page.table.isColumnHidden(column))
    bare.setColumnWidth(column, page.table.columnWidth(column))
bare.show()
app.processEvents()
ours = milliseconds(lambda: page.table.viewport().grab(), 60)
floor = milliseconds(lambda: bare.viewport().grab(), 60)
print(first, ours, floor)
context.leave()
"""


def _rows(columns: list[str], row: tuple[object, ...]) -> Iterator[tuple[object, ...]]:
    at = {name: columns.index(name) for name in columns}
    for number in range(PREPARATIONS):
        made = list(row)
        day = NOW - timedelta(hours=number)
        made[at["id"]], made[at["lot"]] = f"m-{number}", f"T26-{number:06d}"
        made[at["searched"]] = f"t26-{number:06d} zc zinc cream"
        made[at["stage"]] = STAGES[number % len(STAGES)].value
        made[at["started_at"]] = f"{day.astimezone().isoformat(timespec='microseconds')[:26]}Z"
        made[at["made_on"]] = day.date().isoformat()
        made[at["use_by"]] = (day.date() + timedelta(days=180)).isoformat()
        yield tuple(made)


def _jars() -> Iterator[tuple[object, ...]]:
    from formulary.bench.kept import FilledJar, Place
    from formulary.canonical import canonical_text

    fill = a_preparation().fill
    bodies = {
        each: canonical_text(FilledJar("THE JAR", "MADE", each, fill))
        for each in (Place.SHELF, Place.PATIENT)
    }
    for number in range(PREPARATIONS):
        place, made = Place.SHELF if number < ON_SHELF else Place.PATIENT, f"m-{number}"
        for each in range(1, JARS_EACH + 1):
            jar = f"T26-{number:06d}/{each}"
            yield (
                jar,
                bodies[place].replace("THE JAR", jar).replace("MADE", made),
                made,
                place.value,
            )


def fill(path: Path) -> None:
    """Write the rows straight into the file, as years of acts would leave them."""
    from formulary.verbs.build_house import HouseBook, build_house
    from tests.helpers.formulas import a_house

    store = open_store(path, create=True)
    build_house(store, ACT, HouseBook(a_house(), (Person("p-1", "Ada Berg", Post.PHARMACIST),)))
    keep_formula(store, a_content())
    with store.writing(ACT, "keep") as writing:
        writing.put(a_preparation("first", "T26-first"))
    store.close()
    with sqlite3.connect(path) as connection:
        connection.execute("PRAGMA synchronous=OFF")
        found = connection.execute("SELECT * FROM preparation")
        columns = [each[0] for each in found.description]
        marks = ", ".join("?" * len(columns))
        connection.executemany(
            f"INSERT INTO preparation ({', '.join(columns)}) VALUES ({marks})",  # noqa: S608
            _rows(columns, found.fetchone()),
        )
        connection.executemany(
            "INSERT INTO filled_jar (id, revision, body, preparation_id, place, recipient_id)"
            " VALUES (?, 1, ?, ?, ?, '')",
            _jars(),
        )
        connection.execute("ANALYZE")


def figures() -> Iterable[Figure]:
    """Yield what a page of rows takes by each order, the shelf, the page's opening and repaint."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "many.misce"
        fill(path)
        store, raw = open_store(path), sqlite3.connect(path)
        yield from _asked(store, raw)
        raw.close()
        store.close()
        opened, ours, floor = map(float, child(SHOWN, str(path)).split())
    yield Figure("register opens among 100,000", "ms", opened, 300.0, "under 300 ms")
    yield Figure("register repaints its rows", "ms", ours, floor, "<= 1.5x a bare table")


def _asked(store: SqlStore, raw: sqlite3.Connection) -> Iterator[Figure]:
    for name, ours, floor in (
        ("newest first", store.register, RAW),
        ("at one stage", lambda: store.register(stage=Stage.REJECTED), RAW_STAGE),
        ("runs out first", lambda: store.register(sorting=Sorting.ENDS_FIRST), RAW_USE_BY),
    ):
        took = percentile(_times(ours), 0.95)
        least = percentile(_times(partial(_fetched, raw, floor)), 0.95)
        yield Figure(f"register rows, {name}, p95", "ms", took, least, "under 50 ms")
    shelf = percentile(_times(lambda: list_shelf(store, NOW.date())), 0.95)
    yield Figure("register's shelf of 180 containers, p95", "ms", shelf, 50.0, "under 50 ms")


def _fetched(raw: sqlite3.Connection, query: str) -> object:
    return raw.execute(query).fetchall()


def _times(work: Callable[[], object]) -> list[float]:
    work()
    found = []
    for _ in range(QUESTIONS):
        start = time.perf_counter()
        work()
        found.append((time.perf_counter() - start) / MILLISECOND)
    return found
