"""What a patient gets of an active in a day by the directions, against the house's largest dose.

A largest dose is only ever a house's own entry with its source; where there is none, that is said
and nothing is invented.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from formulary.formula.content import Content
from formulary.ingredient import DoseLimit
from formulary.messages import Message, message
from formulary.quantity import units
from formulary.quantity.amount import Amount, Concentration
from formulary.quantity.writing import convenient
from formulary.wording.directions import Dosing, Often, content_of
from formulary.wording.strength import declared

_MONTHS, _HOURS, _WEEK = 12, 24, 7
_TENFOLD, _THOUSANDFOLD = (Fraction(8), Fraction(12)), (Fraction(800), Fraction(1200))
"""By which factors a figure is about ten or a thousand times another (safety bodies' practice)."""


@dataclass(frozen=True, slots=True)
class Patient:
    """What a largest dose may depend on; None where nobody said."""

    months: int | None = None
    weight: Amount | None = None


def in_a_day(dosing: Dosing) -> Fraction:
    """Return how many single doses a day has at most."""
    number = Fraction(dosing.number or 1)
    match dosing.often:
        case Often.AT:
            return Fraction(len(dosing.at) or 1)
        case Often.EVERY_HOURS:
            return Fraction(_HOURS) / number
        case Often.EVERY_DAYS:
            return 1 / number
        case Often.TIMES_A_WEEK:
            return number / _WEEK
        case Often.ONCE:
            return Fraction(1)
        case Often.TIMES_A_DAY | Often.NEEDED:
            return number


def daily(content: Content, dosing: Dosing) -> dict[str, Amount]:
    """Return what of each active a day's doses hold, where directions and strength tell it."""
    if dosing.amount is None:
        return {}
    found: dict[str, Amount] = {}
    for name, strength in declared(content).items():
        each = _in_one(dosing.amount, strength)
        if each is not None:
            found[name] = convenient(each * in_a_day(dosing))
    return found


def _in_one(dose: Amount, strength: Concentration | Amount) -> Amount | None:
    if isinstance(strength, Concentration):
        return content_of(dose, strength)
    return strength * dose.number if dose.unit == "piece" else None


def dose_said(
    content: Content,
    dosing: Dosing | None,
    limits: Mapping[str, Sequence[DoseLimit]],
    patient: Patient,
) -> tuple[tuple[Message, ...], tuple[Message, ...]]:
    """Return what is known of the dose of each active in a day, and the doubts about it."""
    if dosing is None:
        return (), ()
    facts: list[Message] = []
    doubts: list[Message] = []
    for name, amount in daily(content, dosing).items():
        facts.append(message("orders.fact.daily", name=name, amount=amount))
        doubts += _doubts(name, amount, limits.get(name, ()), patient)
    return tuple(facts), tuple(doubts)


def _doubts(
    name: str, amount: Amount, limits: Sequence[DoseLimit], patient: Patient
) -> Iterator[Message]:
    fitting = [each for each in limits if _fits(each, patient.months)]
    if not fitting:
        yield message("orders.doubt.no_dose_on_file", name=name)
    for each in fitting:
        most = _most(each, patient)
        if most is None:
            yield message("orders.doubt.no_weight", name=name)
        elif units.dimension(most.unit) is not units.dimension(amount.unit):
            yield message("orders.doubt.other_unit", name=name, most=most)
        elif amount.to(most.unit).number > most.number:
            times = amount.to(most.unit).number / most.number
            yield message(
                f"orders.doubt.{_called(times)}",
                name=name,
                amount=amount,
                most=convenient(most),
                source=each.source,
            )


def _fits(limit: DoseLimit, months: int | None) -> bool:
    """Tell whether a limit is for such an age; one for an age needs the age to be known."""
    if limit.from_years is None and limit.to_years is None:
        return True
    if months is None:
        return False
    years = months // _MONTHS
    return (limit.from_years or 0) <= years and (limit.to_years is None or years <= limit.to_years)


def _most(limit: DoseLimit, patient: Patient) -> Amount | None:
    if not limit.per_kg:
        return limit.highest
    return None if patient.weight is None else limit.highest * patient.weight.to("kg").number


def _called(times: Fraction) -> str:
    for key, (least, most) in (("tenfold", _TENFOLD), ("thousandfold", _THOUSANDFOLD)):
        if least <= times <= most:
            return f"dose_{key}"
    return "dose_over"
