from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from formulary.labels.flow import TooWide, Type, break_lines
from formulary.labels.metrics import Weight, width_mm
from formulary.labels.page import Field
from formulary.labels.wording import statement
from tests.formulary.labels.samples import USUAL
from tests.helpers.pdf_text import squeezed

NINE = Type(9)
WORDS = st.lists(st.text("abcdefgh", min_size=1, max_size=9), min_size=1, max_size=30)


def broken(text: str, width: float) -> list[str]:
    return break_lines(text, lambda _: width, NINE)


@given(WORDS, st.floats(20, 80))
def test_every_word_stays_and_no_line_is_too_wide(words: list[str], width: float) -> None:
    lines = broken(" ".join(words), width)
    assert " ".join(lines).split(" ") == words
    assert all(width_mm(line, NINE.weight, NINE.size_pt) <= width for line in lines)


def test_lines_can_have_different_widths() -> None:
    lines = break_lines("one two three four", lambda n: 8 if n else 40, NINE)
    assert lines == ["one two three four"]
    lines = break_lines("one two three four", lambda n: 10 if n else 15, NINE)
    assert lines == ["one two", "three", "four"]


def test_a_number_is_never_parted_from_its_unit() -> None:
    text = "Take 10\N{NO-BREAK SPACE}mL"
    assert broken(text, 15) == ["Take", "10\N{NO-BREAK SPACE}mL"]


@pytest.mark.parametrize("text", ["10\N{NO-BREAK SPACE}micrograms/piece", "10-20", "mg/mL"])
def test_units_and_ranges_are_not_broken_inside(text: str) -> None:
    with pytest.raises(TooWide):
        broken(text, width_mm(text, NINE.weight, NINE.size_pt) - 0.1)


def test_a_long_word_breaks_after_a_hyphen_or_a_slash() -> None:
    assert broken("Example-Longname", 20) == ["Example-", "Longname"]
    assert broken("lotion/emulsion", 16) == ["lotion/", "emulsion"]


def test_a_soft_hyphen_shows_only_where_the_word_breaks() -> None:
    word = "Herstellungs\N{SOFT HYPHEN}datum"
    assert broken(word, 80) == ["Herstellungsdatum"]
    assert broken(word, 22) == ["Herstellungs-", "datum"]


def test_a_word_wider_than_the_line_is_not_cut() -> None:
    with pytest.raises(TooWide):
        broken("Unbreakable", 5)


@pytest.mark.parametrize(
    ("name", "kept"),
    [
        ("Dr Ostler", "Dr Ostler"),
        ("Prof. Dr. B. Ostler", "Prof. Dr. B. Ostler"),
        ("Rosa de la Cruz", "de la Cruz"),
        ("Una Holm", "Holm"),
    ],
)
def test_a_title_or_leading_word_never_ends_a_line(name: str, kept: str) -> None:
    said = statement(replace(USUAL, prescriber=name), Field.PRESCRIBER)
    widest = max(width_mm(each, Weight.REGULAR, 8) for each in said.split(" "))
    lines = break_lines(said, lambda _: widest, Type(8))
    assert squeezed(kept) in squeezed(lines[-1])
