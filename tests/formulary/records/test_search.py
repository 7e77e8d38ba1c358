"""Both engines and the fake find the same, whatever is kept and typed."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from formulary.ids import new_id
from formulary.records.sql_store import SqlStore
from formulary.store import Store
from tests.helpers.kept import a_content, keep_formula
from tests.helpers.memory_store import MemoryStore

WORDS = st.sampled_from(
    [
        *("Zinc", "zincum", "Łagodna", "Straße", "2-8", "10g", "1e5", "a@b.c", "x'y", '"', "50%"),
        *("µ", "0005", "Ὀδός", "мазь", "亜鉛", "क्रीम", "¾", "ZA", "*", "AND", ":", "\\", "&|!"),
        # Letters younger than the tokenizer of SQLite.
        *("\N{ADLAM CAPITAL LETTER ALIF}", "a\N{ADLAM CAPITAL LETTER ALIF}b"),
    ]
) | st.text(max_size=4)  # fmt: skip
TITLES = st.lists(WORDS, min_size=1, max_size=4).map(" ".join)


@given(st.lists(TITLES, min_size=1, max_size=3), st.lists(WORDS, max_size=2).map(" ".join))
@settings(max_examples=60, suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_every_engine_finds_the_same(
    sql_store: SqlStore, memory_store: MemoryStore, titles: list[str], typed: str
) -> None:
    for title in titles:
        name = title.replace("\0", "")
        content = replace(a_content(name, "C"), lines=(), latin=name)
        formula_id = new_id()
        for store in (sql_store, memory_store):
            keep_formula(store, content, formula_id)
    for text in (typed, typed[:2], titles[0]):
        assert sql_store.find_formulas(text) == memory_store.find_formulas(text)


@pytest.fixture
def many(store: Store) -> Store:
    """Return a store with thirty formulas in three kinds."""
    for number in range(30):
        kind = ("Zinc paste", "Mild zinc cream", "Calamine")[number % 3]
        code = f"ZINC{number:02d}" if number % 3 == 2 else f"C{number:02d}"
        keep_formula(store, a_content(f"{kind} {number:02d}", code), f"f-{number}")
    return store


@pytest.mark.parametrize("size", [1, 7, 10, 50])
def test_pages_follow_on_each_other_without_gap_or_repeat(many: Store, size: int) -> None:
    whole = many.find_formulas("zinc", limit=100)
    pages = [many.find_formulas("zinc", size, offset) for offset in range(0, 40, size)]
    assert len(whole) == 30
    assert [hit for page in pages for hit in page] == whole


def test_a_page_behind_the_last_hit_is_empty(many: Store) -> None:
    assert list(many.find_formulas("zinc", offset=1000)) == []
    assert list(many.find_formulas("", offset=1000)) == []
    assert list(many.find_formulas("calamine", limit=0)) == []


def test_a_hit_costs_no_decoding_of_its_content(sqlite_store: SqlStore) -> None:
    keep_formula(sqlite_store, a_content())
    with sqlite_store._engine.begin() as connection:
        connection.exec_driver_sql("UPDATE version SET content = 'unreadable'")
    assert [hit.code for hit in sqlite_store.find_formulas("zinc")] == ["ZC"]
