"""GS1 element strings: what a code says of an item, so that any scanner's software reads it.

Rules as the GS1 General Specifications have them (check digits, application identifiers (01), (10),
(17) and (21), dates as YYMMDD, FNC1 after a field of varying length unless it is the last); day 00
is read as the month's last day and never written (GS1 change notice 21-040, healthcare).
"""

from __future__ import annotations

import calendar
import re
from collections.abc import Mapping
from datetime import date

from formulary.errors import BadText
from formulary.messages import message

GTIN, LOT, USE_BY, SERIAL = "01", "10", "17", "21"
SEPARATOR = "\x1d"
"""What a reader hands on for FNC1 between two fields (ASCII 29)."""

LONGEST = 20
"""Characters of a lot and of a serial number."""

_GTIN_DIGITS = (8, 12, 13, 14)
_FIXED = {GTIN: 14, USE_BY: 6}
# GS1's characters for a lot and a serial number (AI encodable character set 82).
_VARYING = re.compile(r"[!\"%&'()*+,\-./0-9:;<=>?A-Z_a-z]{1,20}")
_AHEAD, _CENTURY = 50, 100
_ANY_YEAR = 2000


def check_digit(digits: str) -> int:
    """Return the check digit of a number without one: weights 3 and 1 from the right."""
    weighted = (int(each) * (1 if at % 2 else 3) for at, each in enumerate(reversed(digits)))
    return -sum(weighted) % 10


def gtin14(typed: str) -> str:
    """Return an item number of 8, 12, 13 or 14 digits as (01) has it: 14 digits.

    Raises :class:`formulary.errors.BadText` for another length and for a wrong check digit.
    """
    digits = re.sub(r"[\s-]", "", typed)
    if not (digits.isascii() and digits.isdigit()) or len(digits) not in _GTIN_DIGITS:
        raise BadText(message("label.gs1.no_gtin", typed=typed.strip()))
    right = check_digit(digits[:-1])
    if int(digits[-1]) != right:
        raise BadText(message("label.gs1.wrong_check_digit", typed=digits, right=right))
    return digits.zfill(_FIXED[GTIN])


def year_of(two_digits: int, this_year: int) -> int:
    """Return the year of two digits: from 49 years back to 50 years ahead."""
    year = this_year - this_year % _CENTURY + two_digits
    if year - this_year > _AHEAD:
        return year - _CENTURY
    return year + _CENTURY if this_year - year >= _AHEAD else year


def written_date(day: date) -> str:
    """Return a day as YYMMDD."""
    return day.strftime("%y%m%d")


def read_date(text: str, this_year: int) -> date:
    """Return the day of YYMMDD; raises BadText for one that no calendar has."""
    if not re.fullmatch(r"[0-9]{6}", text):
        raise BadText(message("label.gs1.no_date", typed=text))
    year, month, day = year_of(int(text[:2]), this_year), int(text[2:4]), int(text[4:])
    try:
        return date(year, month, day or calendar.monthrange(year, month)[1])
    except (ValueError, calendar.IllegalMonthError) as trouble:
        raise BadText(message("label.gs1.no_date", typed=text)) from trouble


def element_string(fields: Mapping[str, str], separator: str = SEPARATOR) -> str:
    """Return fields by their identifiers as one text, in their order.

    Fields of fixed length belong first, else a separator stands before them. Raises
    :class:`formulary.errors.BadText` for a value that its field can't hold.
    """
    parts, last = [], len(fields) - 1
    for at, (identifier, value) in enumerate(fields.items()):
        _require(identifier, value)
        ends = identifier in _FIXED or at == last
        parts.append(identifier + value + ("" if ends else separator))
    return "".join(parts)


def read_elements(text: str) -> Mapping[str, str]:
    """Return the fields of an element string. Raises BadText for one of another kind."""
    found: dict[str, str] = {}
    rest = text.strip().removeprefix(SEPARATOR)
    while rest:
        identifier, rest = rest[:2], rest[2:]
        if identifier in _FIXED:
            value, rest = rest[: _FIXED[identifier]], rest[_FIXED[identifier] :]
        else:
            value, _, rest = rest.partition(SEPARATOR)
        _require(identifier, value)
        found[identifier] = value
    return found


def _require(identifier: str, value: str) -> None:
    wanted = _FIXED.get(identifier)
    if identifier == GTIN and gtin14(value) != value:
        raise BadText(message("label.gs1.no_gtin", typed=value))
    if identifier == USE_BY:
        read_date(value, _ANY_YEAR)
    elif wanted is None and (identifier not in (LOT, SERIAL) or not _VARYING.fullmatch(value)):
        said = message("label.gs1.no_field", identifier=identifier, value=value)
        raise BadText(said, field="lot" if identifier == LOT else None)
