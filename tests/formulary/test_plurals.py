"""Each language's plurals, against sentences that its grammars give."""

from __future__ import annotations

from fractions import Fraction

import pytest

from formulary.plurals import category


@pytest.mark.parametrize(
    ("language", "numbers", "kind"),
    [
        ("en", (1,), "one"),
        ("en", (0, 2, 21), "other"),
        ("fr", (0, 1), "one"),
        ("fr", (2, 100), "other"),
        ("pl", (1,), "one"),
        ("pl", (2, 3, 4, 22, 104), "few"),
        ("pl", (0, 5, 11, 12, 14, 21, 112), "many"),
        ("ar", (0,), "zero"),
        ("ar", (1,), "one"),
        ("ar", (2,), "two"),
        ("ar", (3, 10, 103), "few"),
        ("ar", (11, 26, 99, 111), "many"),
        ("ar", (100, 101, 102, 200), "other"),
        ("xx", (1,), "one"),
    ],
)
def test_a_number_takes_the_plural_of_its_language(
    language: str, numbers: tuple[int, ...], kind: str
) -> None:
    assert {category(language, number) for number in numbers} == {kind}


def test_a_fraction_is_no_whole_number_in_any_language() -> None:
    half = Fraction(1, 2)
    assert [category(language, half) for language in ("pl", "ar", "fr", "en")] == [
        "other",
        "other",
        "one",
        "other",
    ]
