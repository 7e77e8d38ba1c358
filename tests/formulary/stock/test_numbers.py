"""A container's number is typed with gloves on, and a slip is noticed."""

from __future__ import annotations

import pytest

from formulary.errors import BadText
from formulary.stock.numbers import check_character, container_number, read_container_number
from tests.formulary.stock.shelf import text


@pytest.mark.parametrize(("digits", "check"), [("000000021825009", "7"), ("000000021694233", "X")])
def test_the_check_character_is_that_of_identifiers_published_with_it(
    digits: str, check: str
) -> None:
    # Two well-known ORCID iDs, which use ISO/IEC 7064 MOD 11-2.
    assert check_character(digits) == check


@pytest.mark.parametrize(
    "typed",
    [
        "B-00042-3",
        "b-00042-3",
        "b000423",
        "000423",
        " B 00042 3 ",
        "B\N{NON-BREAKING HYPHEN}00042–3",
    ],
)
def test_case_spaces_dashes_and_the_letter_dont_matter(typed: str) -> None:
    assert read_container_number(typed) == container_number(42) == "B-00042-3"


@pytest.mark.parametrize("typed", ["", "B-0042-3", "423", "K26-00042", "D-00042-3", "B-00042"])
def test_what_isnt_a_whole_number_is_refused_with_an_example(typed: str) -> None:
    with pytest.raises(BadText) as refused:
        read_container_number(typed)
    assert "B-00042-3" in text(refused.value)


@pytest.mark.parametrize("typed", ["B-00043-3", "B-00024-3", "B-00420-3", "8-00042-3"])
def test_a_slip_is_noticed(typed: str) -> None:
    with pytest.raises(BadText, match="mistyped"):
        read_container_number(typed)


def test_numbers_go_on_beyond_five_digits() -> None:
    assert read_container_number(container_number(1234567)) == container_number(1234567)


def test_containers_are_numbered_from_one() -> None:
    with pytest.raises(ValueError, match="from one"):
        container_number(0)
