"""Every reference table and every tariff: whole, sourced row by row, exact, and read lazily."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Iterator, Mapping
from fractions import Fraction
from typing import Any

import pytest

from formulary.calculating.tables import document, names_in, table
from formulary.calculating.tariffs import tariff, tariff_names, tariff_rows

TABLES = names_in("")
TARIFFS = tuple(f"tariffs/{each}" for each in tariff_names())
TOLD = ("memory", "computed here")


def rows_of(name: str) -> Iterator[tuple[str, Mapping[str, Any]]]:
    """Yield the rows of a table or a tariff, each with its place for a failing test to name."""
    tariff_name = name.removeprefix("tariffs/")
    rows = tariff_rows(tariff_name) if name in TARIFFS else table(name)
    for place, row in enumerate(rows, 1):
        yield f"{name}, row {place}", row


@pytest.mark.parametrize("name", [*TABLES, *TARIFFS])
def test_a_table_has_a_title_and_says_what_it_is(name: str) -> None:
    assert document(name)["title"].strip()
    assert document(name)["about"].strip()


@pytest.mark.parametrize("name", [*TABLES, *TARIFFS])
def test_every_row_has_source_edition_and_whether_it_was_seen(name: str) -> None:
    rows = dict(rows_of(name))
    assert rows
    for where, row in rows.items():
        assert row["source"].strip(), where
        assert row["edition"].strip(), where
        assert isinstance(row["seen"], bool), where
        assert row.get("doubtful", "why").strip(), where


@pytest.mark.parametrize("name", TABLES)
def test_a_further_name_of_a_substance_has_its_own_source(name: str) -> None:
    for where, row in rows_of(name):
        assert ("also" in row) == bool(row.get("also_source", "").strip()), where


@pytest.mark.parametrize("name", TABLES)
def test_a_row_from_memory_says_so_and_one_that_says_so_was_not_seen(name: str) -> None:
    for where, row in rows_of(name):
        said = f"{row['source']} {row.get('note', '')}"
        assert not (row["seen"] and "from memory" in said), where
        assert row["seen"] or any(word in said for word in TOLD), where


@pytest.mark.parametrize("name", [*TABLES, *TARIFFS])
def test_no_row_holds_a_binary_fraction(name: str) -> None:
    for where, row in rows_of(name):
        assert not any(isinstance(each, float) for each in row.values()), where


@pytest.mark.parametrize("name", tariff_names())
def test_a_tariff_can_be_used_and_is_published_or_says_that_it_is_invented(name: str) -> None:
    rules = tariff(name)
    assert rules.invented is ("invented" in rules.source)
    assert len(rules.currency) == len("EUR")
    assert all(tier.percent >= 0 for tier in (*rules.substances, *rules.containers))
    ends = [tier.up_to for tier in rules.substances]
    assert ends[-1] is None
    assert all(work.base.number > 0 and work.fee > 0 for work in rules.work)


def test_a_tariffs_rows_hold_each_of_its_rules() -> None:
    rules, rows = tariff("germany-section-5"), tariff_rows("germany-section-5")
    fees = [row["value"] for row in rows if row["rule"] == "work"]
    assert [Fraction(fee.removesuffix(" EUR")) for fee in fees] == [w.fee for w in rules.work]
    assert [row["value"] for row in rows if row["rule"] == "substances"] == ["90 %"]
    assert {row["value"] for row in rows if row["rule"] == "fixed"} == {"8.35"}


def test_no_table_is_read_before_it_is_asked_for() -> None:
    asked = (
        "from formulary.calculating import registry, tables\n"
        "registry.every_calculation()\n"
        "print(tables.document.cache_info().currsize)"
    )
    done = subprocess.run([sys.executable, "-c", asked], check=True, capture_output=True, text=True)
    assert done.stdout.strip() == "0"
