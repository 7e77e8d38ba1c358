"""What should have been looked at again, and how two versions differ."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest

from formulary.desk import Desk
from formulary.errors import NotFound
from formulary.verbs.list_reviews import compare_versions, overdue_reviews
from formulary.verbs.move_version import withdraw
from formulary.verbs.write_version import write_version
from tests.helpers.desks import MORNING, Stopped, in_use
from tests.helpers.kept import a_content

LATER = Stopped(MORNING + timedelta(days=731))


def test_a_version_in_use_is_overdue_after_two_years(desk: Desk) -> None:
    version = in_use(desk)
    assert not overdue_reviews(desk)
    later = replace(desk, clock=LATER)
    assert [each.version.id for each in overdue_reviews(later)] == [version.id]
    withdraw(later, version.id, "not asked for any more")
    assert not overdue_reviews(later)


def test_two_versions_are_compared_by_their_numbers(desk: Desk) -> None:
    first = in_use(desk)
    changed = replace(a_content(), purpose="Sore skin")
    write_version(desk, changed, formula_id=first.formula_id, reason="Purpose added")
    (change,) = compare_versions(desk, first.formula_id, 1, 2)
    assert (change.place.key, change.after) == ("difference.field.purpose", "Sore skin")
    with pytest.raises(NotFound):
        compare_versions(desk, first.formula_id, 1, 3)
