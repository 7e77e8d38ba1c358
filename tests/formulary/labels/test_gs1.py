"""GS1 element strings against what GS1 publishes."""

from __future__ import annotations

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from formulary.errors import BadText
from formulary.labels import gs1
from tests.check_values.reading import case


def test_the_check_digit_is_as_published() -> None:
    known = case("gs1", "gs1-001")
    digits = known["inputs"]["digits"]
    assert gs1.check_digit(digits) == known["expected"]["check_digit"]["value"]
    assert digits + str(gs1.check_digit(digits)) == known["expected"]["gtin"]["value"]


def test_another_first_digit_gives_another_check_digit() -> None:
    known = case("gs1", "gs1-005")
    digits = known["inputs"]["digits"]
    assert gs1.check_digit(digits) == known["expected"]["check_digit"]["value"]


def test_a_number_of_thirteen_digits_is_padded() -> None:
    known = case("gs1", "gs1-006")
    assert gs1.gtin14(known["inputs"]["gtin13"]) == known["expected"]["ai01"]["value"]


@pytest.mark.parametrize("name", ["gs1-009", "gs1-011"])
def test_a_year_of_two_digits_has_a_century(name: str) -> None:
    known = case("gs1", name)
    given_ = known["inputs"]
    year = gs1.year_of(given_["yy"], given_["current_year"])
    assert year == known["expected"]["year"]["value"]


@given(st.integers(1950, 2150), st.integers(0, 99))
def test_every_year_lies_49_back_to_50_ahead(this_year: int, digits: int) -> None:
    year = gs1.year_of(digits, this_year)
    assert year % 100 == digits
    assert -49 <= year - this_year <= 50


def test_the_last_field_of_varying_length_needs_no_separator() -> None:
    known = case("gs1", "gs1-013")
    fields = {
        gs1.GTIN: known["inputs"]["ai_01"],
        gs1.USE_BY: known["inputs"]["ai_17"],
        gs1.LOT: known["inputs"]["ai_10"],
    }
    assert gs1.element_string(fields) == known["expected"]["data"]["value"]


def test_a_lot_has_twenty_characters_at_most() -> None:
    longest = case("gs1", "gs1-015")["expected"]["max_characters"]["value"]
    assert gs1.element_string({gs1.LOT: "A" * longest}) == "10" + "A" * longest
    with pytest.raises(BadText):
        gs1.element_string({gs1.LOT: "A" * (longest + 1)})


def test_day_nought_is_the_months_last() -> None:
    # GS1 change notice 21-040: 130200 is the last day of February 2013, 160200 that of 2016.
    assert gs1.read_date("130200", 2026) == date(2013, 2, 28)
    assert gs1.read_date("160200", 2026) == date(2016, 2, 29)


@pytest.mark.parametrize("typed", ["261325", "260230", "26113", "2611301", "26-1-1", ""])
def test_a_date_of_no_calendar_is_refused(typed: str) -> None:
    with pytest.raises(BadText):
        gs1.read_date(typed, 2026)


@pytest.mark.parametrize("typed", ["6291041500214", "629104150021", "12", "", "62910415002l3"])
def test_an_item_number_that_cant_be_is_refused(typed: str) -> None:
    with pytest.raises(BadText):
        gs1.gtin14(typed)


@given(st.text("0123456789", min_size=7, max_size=7), st.integers(0, 6), st.integers(1, 9))
def test_a_wrong_digit_is_always_found(digits: str, at: int, change: int) -> None:
    right = digits + str(gs1.check_digit(digits))
    wrong = right[:at] + str((int(right[at]) + change) % 10) + right[at + 1 :]
    gs1.gtin14(right)
    with pytest.raises(BadText):
        gs1.gtin14(wrong)


LOTS = st.text("ABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789-/", min_size=1, max_size=20)


@given(LOTS, LOTS, st.dates(date(1990, 1, 1), date(2070, 1, 1)))
def test_what_is_written_is_read_back(lot: str, serial: str, day: date) -> None:
    fields = {
        gs1.GTIN: "06291041500213",
        gs1.USE_BY: gs1.written_date(day),
        gs1.LOT: lot,
        gs1.SERIAL: serial,
    }
    assert gs1.read_elements(gs1.element_string(fields)) == fields
