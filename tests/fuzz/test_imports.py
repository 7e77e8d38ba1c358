"""Spoilt files through every door by which files come in.

Nothing worse than a sentence comes of one: no crash, no long wait, nothing kept of it, no file
written, no program run.
"""

from __future__ import annotations

import random
import shutil
import sys
import time
from collections.abc import Callable
from pathlib import Path

import pytest

from formulary.command_line import main, sentence
from formulary.desk import Desk
from formulary.errors import FormularyError
from formulary.exchange.workstation_file import place
from formulary.records.opening import open_store
from formulary.records.sql_store import SqlStore
from formulary.records.verifying import verify
from tests.fuzz.doors import Door, doors
from tests.fuzz.watching import watched
from tests.helpers.desks import a_desk, furnished
from tests.helpers.examples import FULL
from tests.helpers.memory_store import MemoryStore
from tests.helpers.stocked import keep_zinc

DOORS = 11
FILES = (100_000 if FULL else 2_000) // DOORS + 1
HOUSES = 200 if FULL else 4
TABLES = 20 if FULL else 2
LONGEST_SECONDS = 2.0
"""Of this process: how busy the machine is decides nothing."""


@pytest.fixture
def in_order(sqlite_store: SqlStore) -> tuple[Door, ...]:
    """Return the doors, the last of a house with three people."""
    furnished(sqlite_store)
    return doors(sqlite_store)


@pytest.fixture
def a_copy() -> Callable[[], Desk]:
    """Return what gives a desk at a house that nothing was done to."""
    base = MemoryStore()
    furnished(base)
    keep_zinc(base)

    def fresh() -> Desk:
        store = MemoryStore()
        store._take(base)
        return a_desk(store)

    return fresh


def came_of(door: Door, path: Path, desk: Desk) -> FormularyError | None:
    """Return what is said of a file; anything but a refusal is a failure of the test."""
    try:
        door.read(path, desk)
    except FormularyError as error:
        return error
    return None


@pytest.mark.parametrize("number", range(DOORS))
def test_a_sentence_is_the_worst_that_comes_of_a_file(
    in_order: tuple[Door, ...],
    a_copy: Callable[[], Desk],
    number: int,
    record_property: Callable[[str, object], None],
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    door = in_order[number]
    monkeypatch.setattr(sys, "dont_write_bytecode", True)
    path = place()
    path.parent.mkdir(parents=True, exist_ok=True)
    for good in door.good:
        path.write_bytes(good)
        error = came_of(door, path, a_copy())
        assert error is None, sentence(error)
    chance = random.Random(number)  # noqa: S311  the same files in each run
    slowest, refused = 0.0, 0
    for _ in range(FILES):
        data = door.spoil(chance.choice(door.good), chance)
        path.write_bytes(data)
        desk = a_copy()
        before = desk.store.last_entry()
        begun = time.process_time()
        with watched() as done:
            error = came_of(door, path, desk)
        slowest = max(slowest, time.process_time() - begun)
        assert done == [], data
        if error is not None:
            refused += 1
            assert sentence(error).strip(), data
            assert desk.store.last_entry() == before, data
    assert slowest < LONGEST_SECONDS, door.name
    assert refused > FILES // 20, door.name
    record_property("spoilt files read", FILES)
    record_property(f"slowest, {door.name}, ms", round(slowest * 1000))


def test_there_are_as_many_doors_as_are_counted(in_order: tuple[Door, ...]) -> None:
    assert len(in_order) == DOORS


def test_a_spoilt_house_leaves_no_formulary(
    in_order: tuple[Door, ...],
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    monkeypatch.setenv("MISCE_PIN", "2580")
    door = next(each for each in in_order if each.name == "a whole house")
    chance = random.Random(0)  # noqa: S311  the same files in each run
    for number in range(HOUSES):
        file, back = tmp_path / "house.jsonl", tmp_path / f"back-{number}.misce"
        file.write_bytes(door.spoil(door.good[0], chance))
        words = ["import", "--everything", str(file), "--formulary", str(back)]
        code = main([*words, "--as", "Ada Berg"])
        said = capsys.readouterr().err
        assert "log" not in said, said
        if code:
            assert said.strip()
            assert not [*tmp_path.glob(f"back-{number}*")]


def test_a_refused_table_leaves_the_formulary_as_it_was(
    sample_file: Path,
    in_order: tuple[Door, ...],
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setenv("MISCE_PIN", "3141")
    house = shutil.copy(sample_file, tmp_path / "house.misce")
    chance = random.Random(1)  # noqa: S311  the same files in each run
    for door in in_order:
        option = {"ingredients": "--ingredients", "lots": "--lots"}.get(door.name.split(",")[0])
        for _ in range(TABLES if option else 0):
            file = tmp_path / "table"
            file.write_bytes(door.spoil(door.good[0], chance))
            before = last_entry(house)
            code = main(["import", str(option), str(file), "--formulary", str(house)])
            assert code == 0 or last_entry(house) == before


def last_entry(house: str | Path) -> int:
    store = open_store(house)
    try:
        entry = store.last_entry()
        assert verify(store).good
    finally:
        store.close()
    return entry.number if entry else 0
