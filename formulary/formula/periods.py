"""A shelf life as people write it: "35 days", "2 weeks", "6 months"."""

from __future__ import annotations

import re

from formulary.errors import BadText
from formulary.formula.content import Period, Span
from formulary.messages import Message, message

_PERIOD = re.compile(r"(?P<number>[1-9][0-9]{0,3}) ?(?P<span>day|week|month)s?", re.IGNORECASE)
_SPANS = {"day": Span.DAYS, "week": Span.WEEKS, "month": Span.MONTHS}


def parse_period(text: str) -> Period:
    """Read a whole number of days, weeks or months. Raises BadText for anything else."""
    found = _PERIOD.fullmatch(" ".join(text.split()))
    if found is None:
        raise BadText(message("formula.file.period", value=text.strip()))
    return Period(int(found["number"]), _SPANS[found["span"].casefold()])


def said(period: Period) -> Message:
    """Return the period as a message."""
    return message(f"formula.period.{period.span.value}", n=period.number)
