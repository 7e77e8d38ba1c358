"""Many at once: nothing is given twice, and nobody waits in vain."""

from __future__ import annotations

from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from pathlib import Path

import pytest
from sqlalchemy.exc import InvalidRequestError

from formulary.errors import Conflict, StoreTrouble
from formulary.house import House
from formulary.ingredient import Ingredient
from formulary.records import engine
from formulary.records.chain import verify_chain
from formulary.records.opening import open_store
from formulary.records.sql_store import SqlStore
from formulary.store import Store
from tests.helpers.kept import ACT, a_content, keep_formula

THREADS = 8
EACH = 20


def together(work: Callable[[int], list[str]]) -> list[str]:
    with ThreadPoolExecutor(THREADS) as pool:
        return [result for results in pool.map(work, range(THREADS)) for result in results]


def allot(store: Store) -> str:
    with store.writing(ACT, "start") as transaction:
        return transaction.allot_lot(2026)


def test_eight_benches_never_get_the_same_lot(store: Store) -> None:
    with store.writing(ACT, "set up") as transaction:
        transaction.put(House("h-1", "Linden Pharmacy", lot_prefix="K"))
    lots = together(lambda _: [allot(store) for _ in range(EACH)])
    assert sorted(lots) == [f"K26-{number:05d}" for number in range(1, THREADS * EACH + 1)]
    assert verify_chain(store) is None
    assert len(store.history(limit=1000)) == THREADS * EACH + 1


def test_eight_benches_never_get_the_same_container_number(store: Store) -> None:
    def numbered(_: int) -> list[str]:
        given = []
        for _each in range(EACH):
            with store.writing(ACT, "receive") as transaction:
                first = transaction.allot_containers(2)
            given += [str(first), str(first + 1)]
        return given

    numbers = together(numbered)
    assert sorted(map(int, numbers)) == list(range(1, 2 * THREADS * EACH + 1))


def test_two_programs_on_one_file_never_get_the_same_lot(sqlite_file: Path) -> None:
    stores = [open_store(sqlite_file) for _ in range(THREADS)]
    lots = together(lambda number: [allot(stores[number]) for _ in range(5)])
    assert len(set(lots)) == THREADS * 5
    for each in stores:
        each.close()


def test_of_two_who_change_the_same_record_one_is_told(sql_store: SqlStore) -> None:
    with sql_store.writing(ACT, "keep") as transaction:
        kept = transaction.put(Ingredient("i-1", "Zinc oxide"))

    def change(number: int) -> list[str]:
        try:
            with sql_store.writing(ACT, "change") as transaction:
                transaction.put(replace(kept, note=str(number)))
        except Conflict:
            return ["conflict"]
        return ["kept"]

    assert sorted(together(change)) == ["conflict"] * (THREADS - 1) + ["kept"]


def test_what_is_being_written_shows_only_when_it_is_done(sql_store: SqlStore) -> None:
    with ThreadPoolExecutor(1) as other:
        with sql_store.writing(ACT, "keep") as transaction:
            transaction.put(Ingredient("i-1", "Zinc oxide"))
            assert other.submit(sql_store.every, Ingredient).result(5) == []
        assert len(other.submit(sql_store.every, Ingredient).result(5)) == 1


def test_a_list_can_be_read_from_any_thread(sql_store: SqlStore) -> None:
    keep_formula(sql_store, a_content())
    found = together(lambda _: [sql_store.find_formulas("zinc")[0].code])
    assert found == ["ZC"] * THREADS


def test_a_database_that_stays_locked_is_said_in_a_sentence(
    sqlite_file: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(engine, "_PRAGMAS", ("busy_timeout = 1", *engine._PRAGMAS[1:]))
    first, second = open_store(sqlite_file), open_store(sqlite_file)
    with first.writing(ACT, "keep"):
        with pytest.raises(StoreTrouble) as told, second.writing(ACT, "keep"):
            pass
        assert told.value.message.key == "store.trouble.locked"
    first.close()
    second.close()


def test_a_transaction_is_of_no_use_after_its_end(sql_store: SqlStore) -> None:
    with sql_store.writing(ACT, "keep") as transaction:
        pass
    with pytest.raises(InvalidRequestError):
        transaction.put(Ingredient("i-1", "Zinc oxide"))
