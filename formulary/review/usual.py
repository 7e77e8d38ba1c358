"""The usual range of an ingredient's strength, as the house enters it."""

from __future__ import annotations

import re

from formulary.errors import BadText
from formulary.ingredient import UsualRange
from formulary.messages import message
from formulary.quantity.amount import Amount, Concentration
from formulary.quantity.parsing import parse_amount, parse_concentration
from formulary.review.case import percent_of

_BETWEEN = re.compile(r"\s*(?:\bto\b|\N{EN DASH})\s*")
_NUMBER = re.compile(r"\s*[\d.,]+\s*")


def parse_usual_range(text: str, sign: str, source: str) -> UsualRange:
    """Return a typed range: "0.5 to 2 % w/w", "1 to 5 mg/g", or "2 to 5 mg" in a dose unit.

    Raises :class:`formulary.errors.BadText` for anything but two ends of one kind in order, and
    without a source.
    """
    ends = _BETWEEN.split(text.strip())
    if len(ends) != len(("lowest", "highest")):
        raise _bad(text)
    unit = _NUMBER.sub("", ends[1], count=1)
    first = ends[0] if _NUMBER.sub("", ends[0], count=1) else f"{ends[0]} {unit}"
    lowest, highest = (_end(each, sign, text) for each in (first, ends[1]))
    if lowest.unit != highest.unit or not 0 < lowest.number <= highest.number:
        raise _bad(text)
    if not source.strip():
        raise BadText(message("review.usual_source"), field="usual_source")
    return UsualRange(lowest, highest, source.strip())


def _end(text: str, sign: str, whole: str) -> Concentration | Amount:
    if not ("%" in text or "/" in text):
        return parse_amount(text, sign)
    percent = percent_of(parse_concentration(text, sign))
    if percent is None:
        raise _bad(whole)
    kind, number = percent
    return Concentration(number, f"% {kind}")


def _bad(text: str) -> BadText:
    return BadText(message("review.bad_usual_range", typed=text.strip()))
