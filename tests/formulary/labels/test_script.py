"""Scripts that join their letters and run from right to left."""

from __future__ import annotations

import unicodedata

import pytest
from hypothesis import given
from hypothesis import strategies as st

from formulary.labels.page import Direction
from formulary.labels.script import as_drawn, direction_of

HELLO = "سلام"
# The joined forms of the Unicode chart "Arabic Presentation Forms-B": seen initial, the ligature of
# lam and alef final, meem isolated; drawn from the left.
HELLO_DRAWN = (
    "\N{ARABIC LETTER MEEM ISOLATED FORM}"
    "\N{ARABIC LIGATURE LAM WITH ALEF FINAL FORM}"
    "\N{ARABIC LETTER SEEN INITIAL FORM}"
)


def test_letters_are_joined_and_turned_round() -> None:
    assert as_drawn(HELLO) == HELLO_DRAWN


def test_hebrew_is_turned_round_and_not_joined() -> None:
    assert as_drawn("שלום") == "םולש"


@pytest.mark.parametrize(
    "inside",
    [
        "25\u00a0mg/mL",
        "26\u00a0Nov\u00a02026",
        "K26-00042",
        "0.5\u00a0%",
        "\N{MINUS SIGN}18\u00a0°C",
        "2 °C",
    ],
)
def test_a_number_with_its_unit_stays_whole(inside: str) -> None:
    drawn = as_drawn(f"{HELLO} {inside} {HELLO}")
    assert drawn == f"{HELLO_DRAWN} {inside} {HELLO_DRAWN}"


def test_digits_are_western() -> None:
    assert as_drawn("٢٥ سلام") == f"{HELLO_DRAWN} 25"


def test_brackets_open_where_they_are_read_first() -> None:
    # UAX #9, rule L4: a bracket in text from right to left is mirrored.
    assert as_drawn(f"{HELLO} (25 mg)") == f"(25 mg) {HELLO_DRAWN}"


def test_a_name_inside_english_is_turned_where_it_stands() -> None:
    assert as_drawn(f"For {HELLO} {HELLO}, 3 jars") == f"For {HELLO_DRAWN} {HELLO_DRAWN}, 3 jars"


@pytest.mark.parametrize(
    ("text", "direction"),
    [("2 mg", "ltr"), (f"2 {HELLO} mg", "rtl"), ("mg سلام", "ltr"), ("", "ltr")],
)
def test_the_first_letter_says_the_direction(text: str, direction: str) -> None:
    assert direction_of(text) is Direction(direction)


WORDS = st.lists(
    st.sampled_from(["سلام", "ضع", "مرتين", "25", "mg", "(b)", "0.5", "شدة", "K26"]), min_size=1
)


@given(WORDS)
def test_no_letter_is_lost_or_added(words: list[str]) -> None:
    text = " ".join(words)
    drawn = unicodedata.normalize("NFKC", as_drawn(text))
    assert sorted(drawn) == sorted(unicodedata.normalize("NFKC", text))


@given(st.text(st.characters(max_codepoint=0x24F, exclude_categories=["Cc"])))
def test_other_text_is_drawn_as_it_is_written(text: str) -> None:
    assert as_drawn(text) == text
