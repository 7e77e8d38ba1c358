"""Where a field stands in a file."""

from __future__ import annotations

import pytest

from formulary.exchange.places import line_of

TEXT = '''format = 1
title = "A" # a remark
source = """
title = "not this one"
[[ingredient]]
"""
synonyms = [
  "one",
]

[[ingredient]]
name = "A"
quantity = "5 g"

[[ingredient]]   # the base
"name" = "B"
quantity = "to 100 g"

[storage]
highest = 25
'''


@pytest.mark.parametrize(
    ("place", "line"),
    [
        ("format", 1),
        ("title", 2),
        ("source", 3),
        ("synonyms", 7),
        ("ingredient.0", 11),
        ("ingredient.0.quantity", 13),
        ("ingredient.1", 15),
        ("ingredient.1.name", 16),
        ("ingredient.1.quantity", 17),
        ("storage.highest", 20),
    ],
)
def test_a_field_is_on_its_line(place: str, line: int) -> None:
    assert line_of(TEXT, place) == line


def test_a_field_that_is_not_there_is_placed_at_its_table() -> None:
    assert line_of(TEXT, "ingredient.1.role") == 15
    assert line_of(TEXT, "storage.lowest") == 19


def test_a_table_that_is_not_there_is_placed_at_the_top() -> None:
    assert line_of(TEXT, "shelf_life.unopened") == 1
    assert line_of(TEXT, "code") == 1


def test_an_empty_file_has_no_lines() -> None:
    assert line_of("", "title") is None


def test_only_a_line_feed_ends_a_line() -> None:
    text = 'purpose = "one\u2028two\u0085three"\nform = "soup"\n'
    assert line_of(text, "form") == 2
