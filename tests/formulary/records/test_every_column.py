"""Whatever column of whatever table somebody writes into, a check of the records finds it."""

from __future__ import annotations

import os
import shutil
from contextlib import closing
from itertools import islice
from pathlib import Path

import pytest
import sqlalchemy as sa

from formulary.errors import StoreTrouble
from formulary.people import Identity, Part
from formulary.records.columns import Flag
from formulary.records.guards import SQLITE
from formulary.records.opening import open_store
from formulary.records.schema import connected
from formulary.records.tables import Row
from formulary.records.verifying import verify
from tests.contract.test_order_contract import an_order
from tests.crash.busy_house import make_house, work
from tests.helpers.kept import ACT

TABLES = {each.name: each for each in Row.metadata.sorted_tables}
NOT_READ = {("chain_head", "id")}
COLUMNS = [
    (table.name, column.name)
    for table in TABLES.values()
    for column in table.columns
    if (table.name, column.name) not in NOT_READ
]
SOME = slice(None, None, 1 if os.environ.get("MISCE_FULL") else 6)
GUARDS = ("DROP TRIGGER history_no_update", "DROP TRIGGER history_no_delete")
ROUNDS = 13
"""Until the first preparation is released."""


@pytest.fixture(scope="module")
def lived_in(empty_file: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return a house in which somebody wrote, weighed, labelled, released and took an order."""
    path = Path(shutil.copy(empty_file, tmp_path_factory.mktemp("lived") / "house.misce"))
    make_house(path)
    for _ in islice(work(path, 7, lambda _: None), ROUNDS):
        pass
    with closing(open_store(path)) as store, store.writing(ACT, "take_order") as writing:
        writing.keep_file(b"%PDF assay 99.4 %")
        writing.put(an_order(number=writing.allot_order(2026)))
        writing.put(Identity("i-1", Part.PATIENT, "Odile Harrenfeld"))
    with closing(connected(path)) as connection:
        connection.execute("PRAGMA wal_checkpoint(TRUNCATE)")
    return path


@pytest.fixture
def house(lived_in: Path, tmp_path: Path) -> Path:
    """Return that house for one test to write into."""
    return Path(shutil.copy(lived_in, tmp_path / "house.misce"))


def last_row(path: Path, table: str) -> int | None:
    """Return where a table's last row is; None where it has none."""
    with closing(connected(path)) as connection:
        (found,) = connection.execute(f'SELECT max(rowid) FROM "{table}"').fetchone()  # noqa: S608
        return None if found is None else int(found)


def other(column: sa.Column[object]) -> str:
    """Return SQL for another value of the same sort."""
    match column.type:
        case sa.LargeBinary():
            return "X'AB'"
        case Flag():
            return f"1 - {column.name}"
        case sa.Integer() | sa.BigInteger():
            return f"coalesce({column.name}, 0) + 9999"
        case _:
            return f"coalesce({column.name}, '') || 'x'"


def tamper(path: Path, statement: str) -> None:
    """Write into the file as somebody does who takes the guards away."""
    with closing(connected(path)) as connection, connection:
        for each in (*GUARDS, statement, *SQLITE.values()):
            connection.execute(each)


def is_found(path: Path) -> bool:
    """Tell whether a check of a house says that something is wrong, or can't even begin."""
    try:
        with closing(open_store(path)) as store:
            return not verify(store).good
    except StoreTrouble:
        return True


def test_a_house_that_was_lived_in_is_good_and_fills_most_tables(house: Path) -> None:
    assert not is_found(house)
    assert sum(last_row(house, name) is not None for name in TABLES) >= 20


@pytest.mark.parametrize(("table", "column"), COLUMNS[SOME])
def test_a_change_in_any_column_is_found(house: Path, table: str, column: str) -> None:
    row = last_row(house, table)
    if row is not None:
        value = other(TABLES[table].columns[column])
        tamper(house, f'UPDATE "{table}" SET {column} = {value} WHERE rowid = {row}')  # noqa: S608
        assert is_found(house)


@pytest.mark.parametrize("table", sorted({*TABLES} - {"file"}))
def test_a_row_taken_out_of_any_table_is_found(house: Path, table: str) -> None:
    row = last_row(house, table)
    if row is not None:
        tamper(house, f'DELETE FROM "{table}" WHERE rowid = {row}')  # noqa: S608
        assert is_found(house)
