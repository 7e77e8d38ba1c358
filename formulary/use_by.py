"""The last day of use: a period counted from the day of making, the earlier way where in doubt."""

from __future__ import annotations

import calendar
from datetime import date, timedelta

from formulary.formula.content import Period, Span
from formulary.messages import message
from formulary.working import Working


def last_day(made_on: date, period: Period) -> Working[date]:
    """Return the last day of use when the day of making is day 1.

    Days and weeks: made 10 Mar with 35 days lasts to 13 Apr. Months are calendar months; the
    day before the same day of the month, clipped to the month's last day (31 Aug and 6 months:
    29 Feb of a leap year, as an Alberta College of Pharmacy procedure counts).
    """
    if period.span is Span.MONTHS:
        end = _months_on(made_on, period.number)
    else:
        days = period.number * (7 if period.span is Span.WEEKS else 1)
        end = made_on + timedelta(days=days - 1)
    step = message(
        "use_by.step",
        made=made_on,
        period=message(f"formula.period.{period.span.value}", n=period.number),
        end=end,
    )
    return Working(end, (step,), message("use_by.source"))


def _months_on(made_on: date, months: int) -> date:
    index = made_on.year * 12 + made_on.month - 1 + months
    year, month = divmod(index, 12)
    month += 1
    if made_on.day == 1:
        return date(year, month, 1) - timedelta(days=1)
    return date(year, month, min(made_on.day - 1, calendar.monthrange(year, month)[1]))
