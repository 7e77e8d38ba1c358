"""A version in use is looked at again after the house's months."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime

import pytest

from formulary.formula.review import overdue, review_of, reviews
from formulary.formula.version import State, Version
from tests.helpers.kept import a_version


def approved(day: date, state: State = State.IN_USE) -> Version:
    """Return a version that was put in use on a day."""
    at = datetime(day.year, day.month, day.day, 9, tzinfo=UTC)
    return replace(a_version(state=state), approved_at=at)


def test_it_is_due_so_many_calendar_months_after_its_approval() -> None:
    review = review_of(approved(date(2024, 3, 11)), 24)
    assert review is not None
    assert review.due == date(2026, 3, 10)


@pytest.mark.parametrize("state", [State.DRAFT, State.IN_REVIEW, State.WITHDRAWN])
def test_only_a_version_in_use_is_due(state: State) -> None:
    assert review_of(approved(date(2020, 1, 1), state), 24) is None


def test_a_house_may_do_without() -> None:
    assert review_of(approved(date(2020, 1, 1)), 0) is None


def test_the_longest_overdue_comes_first_and_the_last_day_itself_is_in_time() -> None:
    one, two, three = (approved(date(2024, month, 11)) for month in (3, 2, 6))
    due = [each.version for each in overdue((one, two, three), 24, date(2026, 3, 11))]
    assert due == [two, one]
    assert len(overdue((one,), 24, date(2026, 3, 10))) == 0
    assert [each.version for each in reviews((one, two, three), 24)] == [two, one, three]
