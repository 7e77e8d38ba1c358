"""When a version in use is due to be looked at again, and which are overdue."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from formulary.formula.content import Period, Span
from formulary.formula.version import State, Version
from formulary.use_by import last_day


@dataclass(frozen=True, slots=True)
class Review:
    """A version in use and the last day on which it counts as reviewed."""

    version: Version
    due: date


def review_of(version: Version, months: int) -> Review | None:
    """Return a version's review, counted from its approval in the house's calendar months.

    None for a version that isn't in use, and where the house sets no months.
    """
    if version.state is not State.IN_USE or version.approved_at is None or months < 1:
        return None
    return Review(version, due_after(version.approved_at.date(), months))


def due_after(approved: date, months: int) -> date:
    """Return the last day on which a version counts as reviewed."""
    return last_day(approved, Period(months, Span.MONTHS)).result


def reviews(versions: Iterable[Version], months: int) -> tuple[Review, ...]:
    """Return the reviews of all versions in use, the next one first."""
    found = (review_of(each, months) for each in versions)
    return tuple(
        sorted(
            (each for each in found if each is not None),
            key=lambda each: (each.due, each.version.content.code),
        )
    )


def overdue(versions: Iterable[Version], months: int, today: date) -> tuple[Review, ...]:
    """Return the reviews whose day is over, the longest overdue first."""
    return tuple(each for each in reviews(versions, months) if each.due < today)
