"""Text is folded once for every engine."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from formulary.folding import as_key, fold, folded_words, sought_words


@pytest.mark.parametrize(
    ("text", "folded"),
    [
        ("Crème", "creme"),
        ("Ünguentum", "unguentum"),
        ("Łagodna", "lagodna"),
        ("smørende", "smorende"),
        ("đumbir", "dumbir"),
        ("DİKKAT \N{LATIN SMALL LETTER DOTLESS I}s\N{LATIN SMALL LETTER DOTLESS I}", "dikkat isi"),
        ("Weißes STRASSE", "weisses strasse"),
        ("œdème ægis Þorn", "oedeme aegis thorn"),
        ("ﬁne ½", "fine 1\N{FRACTION SLASH}2"),
        ("Cre\u0300me", "creme"),
    ],
)
def test_letters_fold_to_what_is_typed_without_them(text: str, folded: str) -> None:
    assert fold(text) == folded


@given(st.text())
def test_folding_twice_changes_nothing(text: str) -> None:
    assert fold(fold(text)) == fold(text)


@given(st.text())
def test_words_hold_nothing_that_a_query_language_reads(text: str) -> None:
    assert all(word.isalnum() for word in folded_words(text))


def test_everything_but_letters_and_digits_parts_words() -> None:
    assert folded_words("50%-Zinc_paste, 2\N{EN DASH}8 °C") == [
        "50",
        "zinc",
        "paste",
        "2",
        "8",
        "c",
    ]


def test_a_page_pasted_into_the_search_stays_a_short_query() -> None:
    assert len(sought_words(" ".join(map(str, range(9999))))) == 30
    assert len(sought_words("zinc " * 50)) == 1


def test_a_key_keeps_what_tells_names_apart() -> None:
    assert as_key(" Zinc  Cream 5 % ") == "zinc cream 5 %"
    assert as_key("Z-1") != as_key("Z 1")
