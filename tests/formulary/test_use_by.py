"""The last day of use: the day of making is day 1, and in doubt it is the earlier day."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from formulary.catalogue import Catalogue
from formulary.formula.content import Period, Span
from formulary.use_by import last_day
from tests.helpers.strategies import dates, periods


@pytest.mark.parametrize(
    ("made", "number", "span", "last"),
    [
        (date(2026, 3, 10), 1, Span.DAYS, date(2026, 3, 10)),
        (date(2026, 3, 10), 35, Span.DAYS, date(2026, 4, 13)),
        (date(2024, 2, 28), 2, Span.DAYS, date(2024, 2, 29)),
        (date(2026, 3, 10), 1, Span.WEEKS, date(2026, 3, 16)),
        (date(2026, 3, 10), 1, Span.MONTHS, date(2026, 4, 9)),
        (date(2026, 3, 1), 1, Span.MONTHS, date(2026, 3, 31)),
        (date(2026, 1, 31), 1, Span.MONTHS, date(2026, 2, 28)),
        (date(2024, 1, 31), 1, Span.MONTHS, date(2024, 2, 29)),
        (date(2026, 1, 29), 1, Span.MONTHS, date(2026, 2, 28)),
        (date(2026, 8, 31), 6, Span.MONTHS, date(2027, 2, 28)),
        (date(2026, 12, 15), 1, Span.MONTHS, date(2027, 1, 14)),
        (date(2026, 1, 1), 12, Span.MONTHS, date(2026, 12, 31)),
    ],
)
def test_a_period_is_counted_from_the_day_of_making(
    made: date, number: int, span: Span, last: date
) -> None:
    assert last_day(made, Period(number, span)).result == last


@given(dates(), periods())
def test_the_last_day_is_never_before_the_day_of_making(made: date, period: Period) -> None:
    assert last_day(made, period).result >= made


@given(dates(), st.integers(1, 60))
def test_months_never_last_longer_than_the_same_day_of_the_month(made: date, months: int) -> None:
    last = last_day(made, Period(months, Span.MONTHS)).result
    longest = timedelta(days=31 * months)
    assert last - made < longest
    assert last.day < made.day or (last + timedelta(days=1)).day == 1


@given(dates(), periods())
def test_a_longer_period_never_ends_earlier(made: date, period: Period) -> None:
    longer = Period(period.number + 1, period.span)
    assert last_day(made, longer).result > last_day(made, period).result


def test_it_shows_how_it_was_counted_and_by_which_rule() -> None:
    worked = last_day(date(2026, 3, 10), Period(35, Span.DAYS))
    said = Catalogue().text(worked.steps[-1])
    assert "35 days" in said
    assert "13 Apr 2026" in said.replace("\N{NO-BREAK SPACE}", " ")
    assert worked.source is not None
    assert Catalogue().text(worked.source)
