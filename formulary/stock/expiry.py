"""How long a lot lasts: the maker's date as printed, or one assigned, and the life once open."""

from __future__ import annotations

import calendar
import re
from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from formulary.errors import BadText
from formulary.formula.content import Period, Span
from formulary.messages import message
from formulary.use_by import last_day
from formulary.working import Working

ASSIGNED_PERIOD = Period(12, Span.MONTHS)
"""From receipt, where the maker gave no date: USP <795> (2023), from memory. A house setting."""

_TYPED = re.compile(r"(?P<year>2[0-9]{3})-(?P<month>[0-9]{2})(?:-(?P<day>[0-9]{2}))?")
_MONTH_FIRST = re.compile(r"(?P<month>[0-9]{1,2})[/.](?P<year>2[0-9]{3})")


class Precision(StrEnum):
    """How exactly the maker printed the date."""

    DAY = "day"
    MONTH = "month"


@dataclass(frozen=True, slots=True)
class Expiry:
    """The last day of use of an unopened lot; a month alone lasts to its end.

    ``assigned_by`` names who set the date where the maker gave none.
    """

    last_day: date
    precision: Precision = Precision.DAY
    assigned_by: str = ""

    def __post_init__(self) -> None:
        if self.precision is Precision.MONTH and self.last_day != _end_of(self.last_day):
            raise ValueError("a month alone lasts to its last day")

    def is_over(self, today: date) -> bool:
        """Return whether the last day of use has passed."""
        return today > self.last_day


def in_month(year: int, month: int) -> Expiry:
    """Return the expiry of a lot marked with a month alone."""
    return Expiry(_end_of(date(year, month, 1)), Precision.MONTH)


def assigned(received_on: date, by: str, period: Period = ASSIGNED_PERIOD) -> Working[Expiry]:
    """Return the expiry that ``by`` assigns to a lot whose maker gave none."""
    if not by.strip():
        raise ValueError("an assigned date names who set it")
    lasts = last_day(received_on, period)
    step = message("stock.expiry.assigned", received=received_on, end=lasts.result, by=by)
    return Working(Expiry(lasts.result, assigned_by=by), (*lasts.steps, step), lasts.source)


def parse_expiry(typed: str) -> Expiry:
    """Read ``2027-03-31``, ``2027-03`` or ``03/2027``.

    Raises :class:`formulary.errors.BadText` for a day that isn't in the calendar and for any
    other way of writing, which could mean two dates.
    """
    text = typed.strip()
    found = _TYPED.fullmatch(text) or _MONTH_FIRST.fullmatch(text)
    if found is None:
        raise BadText(message("stock.expiry.unreadable", typed=text))
    parts = found.groupdict()
    try:
        return _from_parts(int(parts["year"]), int(parts["month"]), parts.get("day"))
    except ValueError:
        raise BadText(message("stock.expiry.no_such_day", typed=text)) from None


def _from_parts(year: int, month: int, day: str | None) -> Expiry:
    return in_month(year, month) if day is None else Expiry(date(year, month, int(day)))


def usable_until(expiry: Expiry, opened_on: date | None, in_use: Period | None) -> Working[date]:
    """Return the last day of use of a container: its lot's, or earlier once it was opened.

    The life once open never reaches beyond the lot's own date.
    """
    end = expiry.last_day
    of_lot = message("stock.expiry.of_lot", end=end)
    if opened_on is None or in_use is None:
        return Working(end, (of_lot,))
    opened = last_day(opened_on, in_use).result
    period = message(f"formula.period.{in_use.span.value}", n=in_use.number)
    of_use = message("stock.expiry.once_open", opened=opened_on, period=period, end=opened)
    earlier = min(end, opened)
    return Working(earlier, (of_lot, of_use, message("stock.expiry.earlier", end=earlier)))


def _end_of(day: date) -> date:
    return day.replace(day=calendar.monthrange(day.year, day.month)[1])
