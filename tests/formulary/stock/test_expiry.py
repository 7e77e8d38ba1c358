"""No date later than its evidence: month's end, assigned dates, and the life once open."""

from __future__ import annotations

from datetime import date

import pytest

from formulary.errors import BadText
from formulary.formula.content import Period, Span
from formulary.stock.expiry import (
    Expiry,
    Precision,
    assigned,
    in_month,
    parse_expiry,
    usable_until,
)
from tests.formulary.stock.shelf import text

THREE_MONTHS = Period(3, Span.MONTHS)


@pytest.mark.parametrize("typed", ["2028-02", "02/2028", "2/2028", "02.2028", " 2028-02 "])
def test_a_month_alone_lasts_to_its_end(typed: str) -> None:
    expiry = parse_expiry(typed)
    assert expiry == in_month(2028, 2)
    assert (expiry.last_day, expiry.precision) == (date(2028, 2, 29), Precision.MONTH)


def test_a_day_lasts_to_that_day() -> None:
    expiry = parse_expiry("2027-03-15")
    assert expiry == Expiry(date(2027, 3, 15))
    assert not expiry.is_over(date(2027, 3, 15))
    assert expiry.is_over(date(2027, 3, 16))


@pytest.mark.parametrize("typed", ["03/04/2027", "27-03", "March 2027", "", "2027-3-1"])
def test_a_date_that_could_be_read_two_ways_is_refused(typed: str) -> None:
    with pytest.raises(BadText) as refused:
        parse_expiry(typed)
    assert "2027-03-31" in text(refused.value)


@pytest.mark.parametrize("typed", ["2027-13", "2027-02-30", "00/2027"])
def test_a_day_that_isnt_in_the_calendar_is_refused(typed: str) -> None:
    with pytest.raises(BadText, match="no_such_day"):
        parse_expiry(typed)


def test_a_month_cant_end_in_its_middle() -> None:
    with pytest.raises(ValueError, match="last day"):
        Expiry(date(2027, 3, 15), Precision.MONTH)


def test_where_the_maker_gave_no_date_a_year_from_receipt_is_assigned_and_marked() -> None:
    working = assigned(date(2026, 3, 10), "Ana")
    assert working.result == Expiry(date(2027, 3, 9), assigned_by="Ana")
    assert "Ana" in text(working.steps[-1])


def test_an_assigned_date_names_who_set_it() -> None:
    with pytest.raises(ValueError, match="names"):
        assigned(date(2026, 3, 10), " ")


def test_once_open_the_earlier_date_counts() -> None:
    working = usable_until(Expiry(date(2027, 3, 31)), date(2026, 5, 4), THREE_MONTHS)
    assert working.result == date(2026, 8, 3)
    assert (
        text(working.steps[1]) == "Opened 4 May 2026; once open it lasts 3 months, to 3 Aug 2026."
    )


def test_opening_never_lengthens_a_lot() -> None:
    ends = Expiry(date(2026, 6, 1))
    assert usable_until(ends, date(2026, 5, 4), THREE_MONTHS).result == ends.last_day


def test_unopened_or_without_a_life_once_open_the_lots_date_counts() -> None:
    ends = Expiry(date(2026, 6, 1))
    assert usable_until(ends, None, THREE_MONTHS).result == ends.last_day
    assert usable_until(ends, date(2026, 5, 4), None).result == ends.last_day
