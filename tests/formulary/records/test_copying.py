"""A formulary carried to another database is the same there, row by row, or not there at all."""

from __future__ import annotations

import io
import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from formulary.carried import Cells
from formulary.errors import BadText, StoreTrouble
from formulary.exchange.house_lines import read_house, write_house
from formulary.formula.content import Content
from formulary.ids import new_id
from formulary.ingredient import Ingredient
from formulary.messages import message
from formulary.people import Identity, Part
from formulary.records.copying import compared, poured, rows_of, shapes
from formulary.records.opening import open_store
from formulary.records.schema import SCHEMA
from formulary.records.sql_store import SqlStore
from formulary.records.verifying import verify
from tests.helpers.examples import costly
from tests.helpers.kept import ACT, keep_formula
from tests.helpers.strategies import contents, names


@contextmanager
def opened(path: Path, empty: Path) -> Iterator[SqlStore]:
    store = open_store(Path(shutil.copy(empty, path)))
    try:
        yield store
    finally:
        store.close()


@pytest.fixture
def house(sample_file: Path, tmp_path: Path) -> Iterator[SqlStore]:
    with opened(tmp_path / "house.misce", sample_file) as store:
        yield store


def carry(one: SqlStore, other: SqlStore) -> None:
    with poured(rows_of(one), other):
        pass


def test_the_sample_pharmacy_is_the_same_on_each_database(
    house: SqlStore, sql_store: SqlStore
) -> None:
    carry(house, sql_store)
    assert compared(house, sql_store) > 500
    assert verify(sql_store).good
    assert sql_store.last_entry() == house.last_entry()
    assert sql_store.find_formulas("") == house.find_formulas("")


def test_there_and_back_again(
    house: SqlStore, postgres_store: SqlStore, sqlite_store: SqlStore
) -> None:
    carry(house, postgres_store)
    carry(postgres_store, sqlite_store)
    assert compared(house, sqlite_store) > 500


def test_work_goes_on_where_it_was_carried(house: SqlStore, sql_store: SqlStore) -> None:
    carry(house, sql_store)
    with house.writing(ACT, "receive") as here, sql_store.writing(ACT, "receive") as there:
        assert here.allot_containers(1) == there.allot_containers(1)
        assert here.allot_lot(2026) == there.allot_lot(2026)
    assert house.last_entry() == sql_store.last_entry()


def test_nothing_is_poured_over_what_is_there(house: SqlStore, sql_store: SqlStore) -> None:
    carry(house, sql_store)
    with pytest.raises(StoreTrouble):
        carry(house, sql_store)


def test_what_differs_is_named(house: SqlStore, sqlite_store: SqlStore) -> None:
    carry(house, sqlite_store)
    with sqlite_store._engine.begin() as connection:
        connection.exec_driver_sql("UPDATE ingredient SET revision = 9 WHERE name = 'Zinc oxide'")
    with pytest.raises(StoreTrouble) as refused:
        compared(house, sqlite_store)
    (changed,) = (each for each in sqlite_store.every(Ingredient) if each.name == "Zinc oxide")
    assert dict(refused.value.message.parameters)["what"] == f"ingredient {changed.id}"


@pytest.mark.parametrize("what", ["twice", "no parent", "unreadable", "an exception"])
def test_rows_that_contradict_each_other_leave_nothing(
    house: SqlStore, sql_store: SqlStore, what: str
) -> None:
    def spoilt() -> Iterator[tuple[str, Cells]]:
        for name, cells in rows_of(house):
            if name == "version" and what == "unreadable":
                yield name, {**cells, "content": "{}"}
            elif name == "formula" and what == "no parent":
                continue
            else:
                yield name, cells
                if name == "version" and what == "twice":
                    yield name, cells
        if what == "an exception":
            raise BadText(message("exchange.house.after_end"), line=9)

    with pytest.raises(BadText), poured(spoilt(), sql_store):
        pytest.fail("it was taken")
    assert sql_store.last_entry() is None
    assert not sql_store.find_formulas("")
    carry(house, sql_store)


@given(
    st.lists(contents(), min_size=1, max_size=3),
    st.lists(names(), max_size=2),
    st.binary(min_size=1, max_size=50),
)
@settings(
    costly(8), suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow]
)
def test_any_house_written_and_read_is_equal(
    empty_file: Path, tmp_path: Path, formulas: list[Content], people: list[str], file: bytes
) -> None:
    one, other = (tmp_path / f"{new_id()}.db" for _ in range(2))
    with opened(one, empty_file) as mine, opened(other, empty_file) as theirs:
        for number, content in enumerate(formulas):
            keep_formula(mine, content, f"f-{number}")
        with mine.writing(ACT, "keep") as writing:
            writing.keep_file(file)
            for name in people:
                writing.put(Identity(new_id(), Part.PATIENT, name))
        written = "".join(write_house(rows_of(mine), SCHEMA.head)).encode()
        with poured(read_house(io.BytesIO(written), shapes(), SCHEMA.head), theirs) as whole:
            assert verify(whole).good
        compared(mine, theirs)
        assert mine.find_formulas("") == theirs.find_formulas("")
