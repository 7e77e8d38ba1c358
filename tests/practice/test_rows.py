"""Every row of published practice has its test, or the reason why it needs none, or is open."""

from __future__ import annotations

import ast
import tomllib
from collections.abc import Callable, Mapping
from functools import cache
from pathlib import Path
from typing import Any

import pytest

ROOT = Path(__file__).parents[2]
FILES = {
    path.name: tomllib.loads(path.read_text(encoding="utf-8"))
    for path in sorted(Path(__file__).parent.glob("rows*.toml"))
}
"""Each file says in ``still_open`` how many of its rows are open, so that it can't grow unseen."""
ROWS: list[dict[str, Any]] = [row for file in FILES.values() for row in file["row"]]


@cache
def names_in(path: str) -> frozenset[str]:
    """Return the names of the tests that a file holds."""
    tree = ast.parse((ROOT / path).read_text(encoding="utf-8"))
    functions = (each for each in ast.walk(tree) if isinstance(each, ast.FunctionDef))
    return frozenset(each.name for each in functions if each.name.startswith("test_"))


def is_there(named: str) -> bool:
    """Tell whether a test of that path and name exists."""
    path, _, name = named.partition("::")
    return (ROOT / path).is_file() and name in names_in(path)


def answers(row: Mapping[str, Any]) -> list[str]:
    """Return which kinds of answer a row has; tests beside what is open show the part there is."""
    if "open" in row:
        return ["open"]
    return [kind for kind in ("tests", "reason") if row.get(kind)]


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row["number"])
def test_a_row_has_tests_that_exist_or_a_reason_or_says_what_is_open(row: dict[str, Any]) -> None:
    assert row["requirement"].strip()
    assert len(answers(row)) == 1
    assert [each for each in row.get("tests", ()) if not is_there(each)] == []
    assert all(row[kind] for kind in ("open", "reason") if kind in row)


def test_no_number_stands_for_two_rows_and_none_is_left_out() -> None:
    numbers = [row["number"] for row in ROWS]
    assert len(numbers) == len(set(numbers))
    for section in {each.partition("/")[0] for each in numbers}:
        own = [int(each.partition("/")[2]) for each in numbers if each.startswith(f"{section}/")]
        assert own == list(range(1, len(own) + 1)), section


@pytest.mark.parametrize("name", FILES)
def test_what_is_open_is_counted_so_that_it_cant_grow_unseen(
    name: str, record_property: Callable[[str, object], None]
) -> None:
    still = {row["number"]: row["open"] for row in FILES[name]["row"] if "open" in row}
    record_property(f"open rows of practice in {name}", len(still))
    assert len(still) == FILES[name]["still_open"], still
