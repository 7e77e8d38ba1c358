"""A house in sheets: every cell reads back with any CSV reader, and none is a spreadsheet's sum."""

from __future__ import annotations

import csv
import io

from formulary.carried import Cells
from formulary.exchange.house_tables import by_table, write_table

LOT: Cells = {
    "id": "l",
    "number": 'A, "1"',
    "body": '{"id":"l","opened":{"on":"2026-11-30"},"note":"zwei\\nZeilen"}',
}


def sheet(rows: list[Cells]) -> list[dict[str, str]]:
    out = io.StringIO(newline="")
    write_table(rows, out)
    return [*csv.DictReader(io.StringIO(out.getvalue(), newline=""))]


def test_what_a_record_says_stands_in_columns_of_its_own() -> None:
    ((name, rows),) = by_table([("supply_lot", LOT)])
    assert name == "supply_lot"
    assert sheet(rows) == [
        {"id": "l", "number": 'A, "1"', "opened": '{"on": "2026-11-30"}', "note": "zwei\nZeilen"}
    ]


def test_rows_have_all_the_columns_that_any_of_them_has() -> None:
    assert sheet([{"a": "1"}, {"b": 2}, {"a": None}]) == [
        {"a": "1", "b": ""},
        {"a": "", "b": "2"},
        {"a": "", "b": ""},
    ]


def test_nothing_is_reckoned_or_run_when_a_spreadsheet_opens_it() -> None:
    for risky in ('=HYPERLINK("x")', "+1", "-1+2", "@SUM(A1)", "\t=1"):
        assert sheet([{"a": risky}]) == [{"a": f"'{risky}"}]


def test_files_and_pins_are_left_out() -> None:
    rows: list[tuple[str, Cells]] = [
        ("file", {"sha256": "s", "data": b"x"}),
        ("person", {"name": "Ilse", "pin_hash": "$argon2id$..."}),
    ]
    ((name, people),) = by_table(rows)
    assert name == "person"
    assert sheet(people) == [{"name": "Ilse"}]
