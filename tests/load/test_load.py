"""Eight workstations on one server: nothing lost, nothing twice, one history."""

from __future__ import annotations

import json
import os
import subprocess
import sys
import time
from collections import Counter
from collections.abc import Callable, Iterator, Sequence

import pytest

from formulary import starting
from formulary.ingredient import Ingredient
from formulary.records.opening import open_store
from formulary.records.sql_store import SqlStore
from formulary.records.verifying import verify
from formulary.store import Entry
from tests.helpers.desks import a_desk, furnished
from tests.helpers.examples import FULL
from tests.helpers.stocked_bench import a_job, a_stocked_house
from tests.load.worker import COUNTED, Done

Told = Callable[[str, object], None]
WORKSTATIONS = 8
ACTS = 10_000 if FULL else 1_000
PATIENCE = 3600 if FULL else 400


@pytest.fixture(params=["postgres_url", "sqlite_file"])
def place(request: pytest.FixtureRequest) -> str:
    """Return a server's database, then a file that all share."""
    if request.param == "sqlite_file" and not FULL:
        pytest.skip("a shared file is loaded before a release")
    return str(request.getfixturevalue(request.param))


@pytest.fixture
def house(place: str) -> Iterator[SqlStore]:
    """Furnish the house that the workstations share: a formula and a shelf full of its lines."""
    store = open_store(place)
    desk = a_stocked_house(a_desk(furnished(store)))
    a_job(desk, each=1_000_000)
    yield store
    store.close()


def run_all(place: str) -> list[Done]:
    """Let all workstations work at once and return what each says that it did."""
    environment = {**os.environ, "PYTHONPATH": str(starting.CLONE)}
    share = -(-ACTS // WORKSTATIONS)
    words = [sys.executable, "-m", "tests.load.worker", place]
    running = [
        subprocess.Popen(
            [*words, str(number), str(share)], stdout=subprocess.PIPE, env=environment, text=True
        )
        for number in range(1, WORKSTATIONS + 1)
    ]
    said = [each.communicate(timeout=PATIENCE)[0] for each in running]
    assert [each.returncode for each in running] == [0] * WORKSTATIONS
    return [Done(**json.loads(each.splitlines()[-1])) for each in said]


def entries_of(store: SqlStore) -> list[Entry]:
    found: list[Entry] = []
    while page := store.history(len(found), 500):
        found += page
    return found


def tell(place: str, done: Sequence[Done], seconds: float, told: Told) -> None:
    """Give the figures that are printed at the end of the run."""
    where = f"load of {WORKSTATIONS} processes on one {'server' if '://' in place else 'file'}"
    acts = sum(each.acts for each in done)
    told(f"{where}: acts", acts)
    told(f"{where}: acts in a second", round(acts / seconds))
    told(f"{where}: slowest act, ms", round(max(each.slowest for each in done) * 1000))
    told(f"{where}: conflicts told", sum(each.conflicts for each in done))
    told(f"{where}: held up by others and tried again", sum(each.held_up for each in done))
    told(f"{where}: lots", sum(len(each.lots) for each in done))


def test_eight_workstations_work_side_by_side(
    place: str, house: SqlStore, record_property: Told
) -> None:
    before = len(entries_of(house))
    begun = time.perf_counter()
    done = run_all(place)
    tell(place, done, time.perf_counter() - begun, record_property)
    entries = entries_of(house)
    # Nothing confirmed is missing, and nothing is there that nobody did.
    by_bench = Counter(each.act.workstation for each in entries[before:])
    assert by_bench == {each.bench: each.acts for each in done}
    # No lot twice, no number left out.
    lots = sorted(lot for each in done for lot in each.lots)
    assert len(lots) == len({*lots})
    numbers = [int(lot.rpartition("-")[2]) for lot in lots]
    assert numbers == [*range(numbers[0], numbers[0] + len(numbers))]
    assert all(house.preparation(lot) is not None for lot in lots)
    # No update was written over: each who counted up found what the one before had left.
    counted = house.get(Ingredient, COUNTED)
    assert counted is not None
    assert int(counted.note) == sum(each.counted for each in done)
    # One order of the history, which verifies with every record.
    assert [each.number for each in entries] == [*range(1, len(entries) + 1)]
    assert verify(house).good
