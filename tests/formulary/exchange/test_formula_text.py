"""A formula file read, or refused with line, field and sentence."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from formulary.catalogue import Catalogue
from formulary.errors import BadText
from formulary.exchange.formula_text import LARGEST_BYTES, read_formula, read_formula_file
from formulary.resources import sample_path

GOOD = """format = 1
title = "Zinc cream"
code = "CR-1"
form = "cream"
route = "skin"

[[ingredient]]
name = "Zinc oxide"
quantity = "5 % w/w"
role = "active"

[[ingredient]]
name = "Base"
quantity = "to 100 g"
"""


def said(refusal: BadText) -> str:
    """Return the sentence of a refusal, which an unknown key or a missing parameter has not."""
    return Catalogue().text(refusal.message)


def refused(text: str) -> BadText:
    """Return the refusal of a text."""
    with pytest.raises(BadText) as caught:
        read_formula(text)
    assert Catalogue().text(caught.value.message)
    return caught.value


def test_a_good_file_reads() -> None:
    assert read_formula(GOOD).title == "Zinc cream"


@pytest.mark.parametrize(
    ("was", "becomes", "line", "field"),
    [
        ("5 % w/w", "5 u", 9, "ingredient.0.quantity"),
        ("to 100 g", "to 1,250 g", 14, "ingredient.1.quantity"),
        ('form = "cream"', 'form = "soup"', 4, "form"),
        ('role = "active"', 'rôle = "active"', 10, None),
        ('role = "active"', 'rule = "active"', 10, "ingredient.0.rule"),
        ('name = "Base"\n', "", 12, "ingredient.1.name"),
        ('title = "Zinc cream"\n', "", 1, "title"),
        ('title = "Zinc cream"', 'title = "Zinc cream', 2, None),
        ("format = 1", "format = 2", 1, "format"),
    ],
)
def test_a_bad_field_is_found_with_its_line(
    was: str, becomes: str, line: int, field: str | None
) -> None:
    refusal = refused(GOOD.replace(was, becomes))
    assert (refusal.line, refusal.field) == (line, field)


def test_the_first_trouble_in_the_files_order_is_told() -> None:
    text = GOOD.replace("to 100 g", "to 0 g").replace("5 % w/w", "5 gr")
    assert refused(text).line == 9


def test_an_empty_file_is_refused() -> None:
    assert refused("").field == "title"


def test_a_number_of_five_thousand_digits_is_refused() -> None:
    refused(f"units = {'9' * 5000}\n{GOOD}")


def test_tables_nested_without_end_are_refused() -> None:
    refused("a = " + "[" * 5000 + "]" * 5000)


@given(st.text(max_size=200))
def test_any_text_is_a_formula_or_a_refusal(text: str) -> None:
    refused(text)


@given(st.sampled_from(GOOD.splitlines()), st.text(max_size=20))
def test_any_line_changed_is_a_formula_or_a_refusal(line: str, text: str) -> None:
    try:
        read_formula(GOOD.replace(line, text, 1))
    except BadText as refusal:
        said(refusal)


@given(st.integers(0, len(GOOD)))
def test_a_file_cut_short_is_a_formula_or_a_refusal(length: int) -> None:
    try:
        read_formula(GOOD[:length])
    except BadText as refusal:
        said(refusal)


@pytest.mark.parametrize("path", sorted((sample_path() / "formulas").glob("*.toml")), ids=str)
def test_every_sample_formula_reads(path: Path) -> None:
    assert read_formula_file(path).lines


def test_a_file_that_an_editor_began_with_a_byte_order_mark_reads(tmp_path: Path) -> None:
    path = tmp_path / "formula.toml"
    path.write_text(GOOD, encoding="utf-8-sig")
    assert read_formula_file(path).title == "Zinc cream"


def test_line_ends_of_another_system_read(tmp_path: Path) -> None:
    path = tmp_path / "formula.toml"
    path.write_bytes(GOOD.replace("\n", "\r\n").encode())
    assert read_formula_file(path).title == "Zinc cream"


@pytest.mark.parametrize("content", [b"\xff\xfe\x00", b'title = "\xe4"'])
def test_a_file_that_is_no_text_is_refused(tmp_path: Path, content: bytes) -> None:
    path = tmp_path / "formula.toml"
    path.write_bytes(content)
    with pytest.raises(BadText):
        read_formula_file(path)


def test_a_huge_file_is_refused_unread(tmp_path: Path) -> None:
    path = tmp_path / "formula.toml"
    path.write_text("#" * (LARGEST_BYTES + 1))
    with pytest.raises(BadText) as caught:
        read_formula_file(path)
    assert "256" in Catalogue().text(caught.value.message)


def test_a_file_that_is_not_there_or_a_folder_is_refused(tmp_path: Path) -> None:
    for path in (tmp_path / "none.toml", tmp_path):
        with pytest.raises(BadText) as caught:
            read_formula_file(path)
        assert str(path) in Catalogue().text(caught.value.message)
