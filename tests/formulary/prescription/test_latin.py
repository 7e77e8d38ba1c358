"""Terms are known however they are dotted and spaced, and every one has its words."""

from __future__ import annotations

import pytest

from formulary.calculating.tables import table
from formulary.catalogue import keys_under
from formulary.formula.content import Form, Route
from formulary.prescription.latin import TABLE, roman, terms_in, tokens_of


def codes(text: str) -> list[str]:
    """Return the codes of the terms in a text."""
    return [found.term.code for found in terms_in(tokens_of(text))]


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("M.f. ungt.", ["mix_to_make", "ointment"]),
        ("M. f. Ungt", ["mix_to_make", "ointment"]),
        ("Misce fiat unguentum", ["mix_to_make", "ointment"]),
        ("d.t.d. no. XX", ["such_doses", "number"]),
        ("D.t.d.No.XX", ["such_doses", "number"]),
        ("div. in p. aeq. No. X", ["divide", "number"]),
        ("M. D. S.", ["mix_give_label"]),
        ("āā", ["each"]),
        ("ana partes aequales", ["each"]),
        ("q. s. ad", ["enough", "up_to"]),
        ("ad us. ext.", ["external_use"]),
        ("b.i.d.", ["twice_a_day"]),
    ],
)
def test_a_term_is_known_however_it_is_written(text: str, found: list[str]) -> None:
    assert codes(text) == found


@pytest.mark.parametrize("text", ["bid for it", "s", "d", "od", "hs", "ms", "au", "as"])
def test_a_common_word_is_no_term_without_dots_or_capitals(text: str) -> None:
    assert codes(text) == []


@pytest.mark.parametrize("text", ["OD", "o.d.", "HS", "MS", "AU", "cc", "MgSO4", "u.d."])
def test_what_is_easily_misread_is_known(text: str) -> None:
    kinds = {found.term.kind for found in terms_in(tokens_of(text), ("error-prone",))}
    assert kinds == {"error-prone"}


@pytest.mark.parametrize(
    ("figures", "number"),
    [("V", 5), ("xx", 20), ("xij", 12), ("IIII", 4), ("XIV", 14), ("C", 100), ("MDCCC", 1800)],
)
def test_roman_figures_are_counted(figures: str, number: int) -> None:
    assert roman(figures) == number


@pytest.mark.parametrize("figures", ["", "VX", "IIX", "ss", "20", "no"])
def test_what_isnt_a_roman_figure_is_none(figures: str) -> None:
    assert roman(figures) is None


def test_every_term_has_its_words_and_no_words_are_over() -> None:
    codes_of_rows = {f"prescription.term.{row['term']}" for row in table(TABLE)}
    assert codes_of_rows == set(keys_under("prescription.term"))


def test_every_row_is_whole() -> None:
    for row in table(TABLE):
        assert row["written"]
        assert row.get("only", "dotted") in ("dotted", "capitals", "marked")
        assert Form(row.get("form", "cream"))
        assert Route(row.get("route", "skin"))
