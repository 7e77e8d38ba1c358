"""List the versions in use whose review is overdue, and compare two versions of a formula."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta

from formulary.desk import Desk
from formulary.errors import NotFound
from formulary.formula.difference import Change, difference
from formulary.formula.review import Review, due_after, overdue
from formulary.formula.version import State, Version
from formulary.messages import message
from formulary.store import Reading


def overdue_reviews(desk: Desk) -> tuple[Review, ...]:
    """Return what should have been looked at again by today, the longest overdue first."""
    months, today = desk.house.review_months, desk.today
    found = desk.store.columns(Version, ("id", "approved_at"), "state", [State.IN_USE.value])
    # Only these are read whole; the column's day may be the neighbour of the house's own.
    late = {
        version_id
        for version_id, approved in found
        if approved is not None and _may_be_over(approved.date(), months, today)
    }
    return overdue(desk.store.having_any(Version, "id", late), months, today)


def _may_be_over(approved: date, months: int, today: date) -> bool:
    return months > 0 and due_after(approved, months) <= today + timedelta(days=1)


def compare_versions(desk: Desk, formula_id: str, one: int, other: int) -> tuple[Change, ...]:
    """Return what changed from one version of a formula to another, by their numbers.

    Raises :class:`formulary.errors.NotFound` for a number that no version of it has.
    """
    before, after = (_numbered(desk.store, formula_id, each) for each in (one, other))
    return difference(before.content, after.content, desk.house.decimal_sign)


def standing_before(versions: Sequence[Version]) -> Version | None:
    """Return what the newest version is compared with first: the one in use, else the one before.

    ``versions`` are a formula's, oldest first; None where there is only one.
    """
    earlier = versions[:-1]
    in_use = [each for each in earlier if each.state is State.IN_USE]
    return next(iter((*in_use, *reversed(earlier))), None)


def _numbered(store: Reading, formula_id: str, number: int) -> Version:
    for version in store.versions(formula_id):
        if version.number == number:
            return version
    raise NotFound(message("verbs.no_such_version", number=number))
