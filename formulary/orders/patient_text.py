"""What is typed about a patient and a treatment, read."""

from __future__ import annotations

import re
from collections.abc import Mapping
from datetime import date

from formulary.errors import BadText
from formulary.messages import message
from formulary.patient import PatientDetails
from formulary.quantity.parsing import parse_amount

_AGE = re.compile(r"(?P<number>[0-9]{1,3}) ?(?P<span>year|month)s?", re.IGNORECASE)
_BORN = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")
_NONE = frozenset({"none", "no", "none known"})
_MOST_DAYS = 4


def read_age(text: str, today: date) -> PatientDetails:
    """Read "34 years", "8 months" or a birth date such as "1950-04-01".

    Raises :class:`formulary.errors.BadText` for anything else: a bare number could be months.
    """
    typed = " ".join(text.split())
    if _BORN.fullmatch(typed):
        return PatientDetails(born=_day(typed, today))
    found = _AGE.fullmatch(typed)
    if found is None:
        raise BadText(message("orders.typed.age", typed=typed), field="age")
    months = int(found["number"]) * (12 if found["span"].casefold() == "year" else 1)
    return PatientDetails(age_months=months, told_on=today)


def _day(typed: str, today: date) -> date:
    try:
        born = date.fromisoformat(typed)
    except ValueError:
        raise BadText(message("orders.typed.age", typed=typed), field="age") from None
    if born > today:
        raise BadText(message("orders.patient.unborn", born=born), field="age")
    return born


def read_days(text: str) -> int | None:
    """Read the days that a treatment lasts; nothing typed is not known."""
    typed = text.strip()
    if not typed:
        return None
    if not typed.isdecimal() or len(typed) > _MOST_DAYS or int(typed) == 0:
        raise BadText(message("orders.typed.days", typed=typed), field="treatment_days")
    return int(typed)


def read_allergies(text: str) -> tuple[tuple[str, ...], bool]:
    """Read allergies parted by commas, or "none"; return them and whether there are none."""
    names = tuple(name.strip() for name in re.split(r"[,;\n]", text) if name.strip())
    if len(names) == 1 and names[0].casefold() in _NONE:
        return (), True
    return names, False


def read_patient(texts: Mapping[str, str], sign: str, today: date) -> PatientDetails | None:
    """Return what the fields age, weight, allergies and telephone say; None where nothing does.

    Raises :class:`formulary.errors.BadText` with the field that can't be read.
    """
    typed = {name: texts.get(name, "").strip() for name in _FIELDS}
    if not any(typed.values()):
        return None
    age = read_age(typed["age"], today) if typed["age"] else PatientDetails()
    weight = parse_amount(typed["weight"], sign) if typed["weight"] else None
    allergies, none = read_allergies(typed["allergies"])
    return PatientDetails(
        born=age.born,
        age_months=age.age_months,
        told_on=age.told_on,
        weight=weight,
        weighed_on=today if weight is not None else None,
        allergies=allergies,
        no_allergies=none,
        telephone=typed["telephone"],
    )


_FIELDS = ("age", "weight", "allergies", "telephone")
