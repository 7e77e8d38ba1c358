"""A largest dose in a day as it is typed: amount, ages and source, parted by semicolons."""

from __future__ import annotations

import re

from formulary.errors import BadText
from formulary.ingredient import DoseLimit
from formulary.messages import message
from formulary.quantity.parsing import parse_amount
from formulary.quantity.writing import exact_amount

_AGES = re.compile(
    r"(?P<any>any age)|from (?P<least>\d+) years|(?P<from>\d+) to (?P<to>\d+) years",
    re.IGNORECASE,
)
_PER_KG = "/kg"


def parse_dose_limit(text: str, sign: str) -> DoseLimit:
    """Return a typed limit: "2 mg/kg; 2 to 11 years; source", or "40 mg; any age; source".

    Ages are in completed years, both counted. Raises :class:`formulary.errors.BadText` for
    anything else, and without a source.
    """
    parts = [each.strip() for each in text.split(";", 2)]
    if len(parts) != len(("amount", "ages", "source")) or not parts[2]:
        raise _bad(text)
    ages = _AGES.fullmatch(parts[1])
    if ages is None:
        raise _bad(text)
    per_kg = parts[0].replace(" ", "").endswith(_PER_KG)
    typed = parts[0].replace(" ", "").removesuffix(_PER_KG) if per_kg else parts[0]
    highest = parse_amount(typed, sign)
    least, most = _years(ages["least"] or ages["from"]), _years(ages["to"])
    if least is not None and most is not None and least > most:
        raise _bad(text)
    return DoseLimit(highest, per_kg, least, most, parts[2])


def dose_limit_text(limit: DoseLimit, sign: str) -> str:
    """Return a limit as it is typed."""
    amount = exact_amount(limit.highest, sign) + (_PER_KG if limit.per_kg else "")
    return f"{amount}; {_ages_text(limit)}; {limit.source}"


def _ages_text(limit: DoseLimit) -> str:
    if limit.to_years is not None:
        return f"{limit.from_years or 0} to {limit.to_years} years"
    return "any age" if limit.from_years is None else f"from {limit.from_years} years"


def _years(typed: str | None) -> int | None:
    return None if typed is None else int(typed)


def _bad(text: str) -> BadText:
    return BadText(message("orders.bad_dose_limit", typed=text.strip()))
