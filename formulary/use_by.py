"""The last day of use: a period counted from the day of making, the earlier way where in doubt."""

from __future__ import annotations

import calendar
from datetime import date, timedelta
from enum import StrEnum

from formulary.formula.content import Period, Span
from formulary.messages import message
from formulary.working import Working


class Counting(StrEnum):
    """What number the day of making has; as day 1 it is counted itself and the end is earlier."""

    DAY_1 = "day 1"
    DAY_0 = "day 0"


def last_day(made_on: date, period: Period, counting: Counting | None = None) -> Working[date]:
    """Return the last day of use; where no counting is given the day of making is day 1.

    Days and weeks: made 10 Mar with 35 days lasts to 13 Apr, as day 0 to 14 Apr. Months are
    calendar months; as day 0 the same day of the month, as day 1 the day before it, both clipped
    to the month's last day (31 Aug and 6 months: 29 Feb of a leap year, as an Alberta College of
    Pharmacy procedure counts).
    """
    more = 0 if counting is Counting.DAY_0 else 1
    if period.span is Span.MONTHS:
        end = _months_on(made_on, period.number, more)
    else:
        days = period.number * (7 if period.span is Span.WEEKS else 1)
        end = made_on + timedelta(days=days - more)
    step = message(
        f"use_by.step.{'day_1' if more else 'day_0'}",
        made=made_on,
        period=message(f"formula.period.{period.span.value}", n=period.number),
        end=end,
    )
    return Working(end, (step,), None if counting else message("use_by.source"))


def _months_on(made_on: date, months: int, less: int) -> date:
    index = made_on.year * 12 + made_on.month - 1 + months
    year, month = divmod(index, 12)
    month += 1
    if made_on.day == less:
        return date(year, month, 1) - timedelta(days=1)
    return date(year, month, min(made_on.day - less, calendar.monthrange(year, month)[1]))
