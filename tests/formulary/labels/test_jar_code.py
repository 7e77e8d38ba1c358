"""The square code of a jar: what a scanner reads of it, and which jar it is."""

from __future__ import annotations

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from formulary.errors import BadText
from formulary.labels.jar_code import JarCode, jar_named

DAY = date(2027, 12, 31)
GTIN = "6291041500213"


def test_without_an_item_number_it_says_jar_and_day() -> None:
    assert JarCode("K26-00042", 2, DAY).text == "K26-00042/2 2027-12-31"


def test_with_one_it_is_a_gs1_element_string() -> None:
    text = JarCode("K26-00042", 2, DAY, GTIN).text
    assert text == "0106291041500213" + "17271231" + "10K26-00042" + "\x1d" + "212"


LOTS = st.builds(
    "{}{:02d}-{:05d}".format,
    st.text("ABCK", max_size=3),
    st.integers(20, 99),
    st.integers(1, 99_999),
)


@given(LOTS, st.integers(1, 999), st.dates(date(2020, 1, 1), date(2060, 1, 1)))
@pytest.mark.parametrize("gtin", ["", GTIN])
def test_whatever_is_scanned_names_its_jar(gtin: str, lot: str, number: int, day: date) -> None:
    text = JarCode(lot, number, day, gtin).text
    jar = f"{lot}/{number}"
    assert jar_named(text) == jar
    assert jar_named("]d2\x1d" + text if gtin else "]d1" + text) == jar
    # A scanner that types its code may lose the separator.
    assert jar_named(text.replace("\x1d", "")) == jar


@pytest.mark.parametrize("typed", ["K26-00042", "K26-00042/2", "zinc paste", "0106"])
def test_what_is_typed_stays(typed: str) -> None:
    assert jar_named(f" {typed} ") == typed


def test_a_damaged_code_is_refused() -> None:
    with pytest.raises(BadText):
        jar_named("0106291041500214" + "17271231" + "10K26-00042")
