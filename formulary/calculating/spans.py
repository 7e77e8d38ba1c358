"""Times and rates as texts on decay write them: 3 months, 0.02 per day, 0.5 mg/mL/hour."""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction
from typing import TypeAlias

from formulary.calculating.strengths import plain
from formulary.errors import BadText, FormularyError
from formulary.messages import message
from formulary.quantity import units
from formulary.quantity.amount import Amount, Concentration
from formulary.quantity.parsing import parse_amount, parse_concentration, parse_number

DAY = "day"
_SECONDS_IN_DAY = 86_400
_LONG = {
    "second": Fraction(1, _SECONDS_IN_DAY),
    "month": Fraction("365.25") / 12,
    "year": Fraction("365.25"),
}
"""Days in what is no unit of an amount; months and years are means, for estimates only."""
_SPELLED = {"s": "second", "sec": "second", "mo": "month", "y": "year", "yr": "year"}
_SPAN = re.compile(r"(?P<number>[^A-Za-z]*?) ?(?P<unit>[A-Za-z]+)")
# The sign can only be a decimal one: scientific writing has one digit before it.
_SCIENTIFIC = re.compile(
    r"(?P<digits>\d(?:[.,]\d+)?) ?(?:[eE]|[x×*] ?10 ?\^ ?)(?P<power>[-−+]?\d{1,2})"
)
_PER = re.compile(r"(?P<part>.+?)(?: ?/ ?| per )(?P<time>[A-Za-z]+)")
_INVERSE = re.compile(r"(?P<part>.+?) ?(?P<time>[A-Za-z]+) ?(?:\^?[-−]1|⁻¹)")

Part: TypeAlias = Fraction | Amount | Concentration


@dataclass(frozen=True, slots=True)
class Rate:
    """What is lost in one ``time`` unit: a part of it all (0.02), an amount or a strength."""

    part: Part
    time: str
    in_percent: bool = False

    @property
    def days(self) -> Fraction:
        """How many days the time unit has."""
        return days_in(self.time)


def days_in(unit: str) -> Fraction:
    """Return the days of one unit of time, as typed. Raises BadText for no such unit."""
    word = unit.casefold().removesuffix("s") or unit
    word = _SPELLED.get(word, word)
    if word in _LONG:
        return _LONG[word]
    return parse_amount(f"1 {unit}", ".").to(DAY).number


def read_span(text: str, field: str) -> Amount:
    """Return a time in its own unit, months and years in days. Raises BadText."""
    found = _SPAN.fullmatch(text.strip())
    try:
        if found is None or not found["number"].strip():
            raise BadText(message("calculating.no_time", typed=text))
        number = parse_number(found["number"], ".")
        if number <= 0:
            raise BadText(message("calculating.not_positive"))
        return Amount(number * days_in(found["unit"]), DAY)
    except FormularyError as error:
        raise BadText(error.message, field=field) from error


def read_rate(text: str, field: str) -> Rate:
    """Return a rate: a figure and the time that it is for. Raises BadText."""
    plain = text.strip()
    found = _INVERSE.fullmatch(plain) or _PER.fullmatch(plain)
    try:
        if found is None:
            raise BadText(message("calculating.no_rate", typed=text))
        days_in(found["time"])
        typed = found["part"].strip()
        part = _part(typed)
        if (part if isinstance(part, Fraction) else part.number) <= 0:
            raise BadText(message("calculating.not_positive"))
        return Rate(part, found["time"], in_percent=typed.endswith("%"))
    except FormularyError as error:
        raise BadText(error.message, field=field) from error


def _part(text: str) -> Part:
    if science := _SCIENTIFIC.fullmatch(text):
        exponent = int(science["power"].replace("−", "-"))
        return Fraction(science["digits"].replace(",", ".")) * Fraction(10) ** exponent
    if text.endswith("%"):
        return parse_number(text.removesuffix("%"), ".") / 100
    if not any(each.isalpha() for each in text):
        return parse_number(text, ".")
    if "/" not in text:
        return parse_amount(text, ".")
    found = parse_concentration(text, ".")
    return found if isinstance(found, Concentration) else found.as_percent()


def share_of(part: Amount | Concentration, start: Amount | Concentration) -> Fraction | None:
    """Return what part of the start it is, or None where the two don't measure alike."""
    if isinstance(part, Amount) and isinstance(start, Amount):
        alike = units.dimension(part.unit) is units.dimension(start.unit)
        return part / start if alike else None
    if isinstance(part, Concentration) and isinstance(start, Concentration):
        mine, whole = plain(part), plain(start)
        return mine.per_hundred / whole.per_hundred if mine.kind == whole.kind else None
    return None
