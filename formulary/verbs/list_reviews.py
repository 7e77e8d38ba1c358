"""List the versions in use whose review is overdue, and compare two versions of a formula."""

from __future__ import annotations

from formulary.desk import Desk
from formulary.errors import NotFound
from formulary.formula.difference import Change, difference
from formulary.formula.review import Review, overdue
from formulary.formula.version import Version
from formulary.messages import message
from formulary.store import Reading


def overdue_reviews(desk: Desk) -> tuple[Review, ...]:
    """Return what should have been looked at again by today, the longest overdue first."""
    return overdue(desk.store.every(Version), desk.house.review_months, desk.today)


def compare_versions(desk: Desk, formula_id: str, one: int, other: int) -> tuple[Change, ...]:
    """Return what changed from one version of a formula to another, by their numbers.

    Raises :class:`formulary.errors.NotFound` for a number that no version of it has.
    """
    before, after = (_numbered(desk.store, formula_id, each) for each in (one, other))
    return difference(before.content, after.content, desk.house.decimal_sign)


def _numbered(store: Reading, formula_id: str, number: int) -> Version:
    for version in store.versions(formula_id):
        if version.number == number:
            return version
    raise NotFound(message("verbs.no_such_version", number=number))
