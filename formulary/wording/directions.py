"""Directions for use from their parts: amount, place, when or how often, for how long.

A dosing holds no words. Its sentences are messages, so they come out whole and plain in whatever
language the patient reads. Amounts in figures, times of the day by name: USP <17>; a liquid in mL
and never in spoons, its content in mg beside it (ISMP; practice papers on children's liquids).
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum

from formulary.errors import Refusal
from formulary.formula.content import Period, Route
from formulary.messages import Message, message
from formulary.quantity import units
from formulary.quantity.amount import Amount, Concentration
from formulary.quantity.rounding import round_to_significant
from formulary.quantity.units import Dimension
from formulary.quantity.writing import convenient, is_finite

UNITS = ("capsule", "suppository", "pessary", "powder", "sachet")
"""What a dose unit can be called in directions; each language has its plurals."""

_PER_HUNDRED = 100


class Use(StrEnum):
    """What is done with it."""

    TAKE = "take"
    APPLY = "apply"
    PUT = "put"
    INSERT = "insert"
    RINSE = "rinse"


class Often(StrEnum):
    """What the number of a dosing counts."""

    TIMES_A_DAY = "times_a_day"
    AT = "at"
    EVERY_HOURS = "every_hours"
    EVERY_DAYS = "every_days"
    TIMES_A_WEEK = "times_a_week"
    NEEDED = "needed"
    ONCE = "once"


class DayPart(StrEnum):
    """A time of the day that everybody knows."""

    MORNING = "morning"
    MIDDAY = "midday"
    EVENING = "evening"
    BEDTIME = "bedtime"


class Food(StrEnum):
    """How it stands to meals."""

    ANY = ""
    BEFORE = "before"
    WITH = "with"
    AFTER = "after"
    EMPTY = "empty"


PLACES: dict[Use, tuple[str, ...]] = {
    Use.TAKE: ("by_mouth",),
    Use.APPLY: ("affected_skin", "dry_skin", "face", "hands", "feet", "scalp", "sore_mouth"),
    Use.PUT: ("each_ear", "left_ear", "right_ear", "each_nostril"),
    Use.INSERT: ("rectum", "vagina"),
    Use.RINSE: (),
}
"""Where each use can be; where there are any, one of them is said."""

_BY_ROUTE = {
    Route.ORAL: (Use.TAKE, "by_mouth"),
    Route.SKIN: (Use.APPLY, "affected_skin"),
    Route.SCALP: (Use.APPLY, "scalp"),
    Route.MOUTH: (Use.RINSE, ""),
    Route.EAR: (Use.PUT, "each_ear"),
    Route.NOSE: (Use.PUT, "each_nostril"),
    Route.RECTAL: (Use.INSERT, "rectum"),
    Route.VAGINAL: (Use.INSERT, "vagina"),
}
_MEASURED = (Dimension.MASS, Dimension.VOLUME, Dimension.DROPS, Dimension.PIECES)


@dataclass(frozen=True, slots=True)
class Dosing:
    """How a preparation is used.

    ``amount`` is one dose; without one a thin layer is put on. ``unit`` is what a dose unit is
    called, where the amount is a number of them. ``number`` is what ``often`` counts: times, hours
    or days, and for what is used when needed the most times in 24 hours. ``note`` is free text of
    the house. Raises :class:`formulary.errors.Refusal` for what makes no sentence.
    """

    use: Use
    amount: Amount | None = None
    unit: str = ""
    place: str = ""
    often: Often = Often.TIMES_A_DAY
    number: int | None = None
    at: tuple[DayPart, ...] = ()
    food: Food = Food.ANY
    hours_apart: int | None = None
    lasts: Period | None = None
    note: str = ""

    def __post_init__(self) -> None:
        _require_amount(self)
        _require_place(self)
        _require_often(self)


def usual_use(route: Route) -> tuple[Use, str]:
    """Return the use and place that a route suggests, to be looked at and changed."""
    return _BY_ROUTE.get(route, (Use.APPLY, "affected_skin"))


def sentences(dosing: Dosing, strength: Concentration | None = None) -> tuple[Message, ...]:
    """Return the directions, a message for each sentence; free text isn't among them.

    ``strength`` is that of the only active, by which a volume is said in mg too.
    """
    return (_first(dosing, strength), *_further(dosing))


def content_of(volume: Amount, strength: Concentration) -> Amount | None:
    """Return what a volume holds of an active, None where the strength is none by volume."""
    if strength.unit == "% w/v":
        held = Amount(volume.to("mL").number * strength.number / _PER_HUNDRED, "g")
    elif strength.unit in units.PERCENTS:
        return None
    else:
        part, whole = units.split_concentration(strength.unit)
        if units.dimension(whole) is not Dimension.VOLUME:
            return None
        held = Amount(strength.number * volume.to(whole).number, part)
    return _readable(held)


def _readable(held: Amount) -> Amount:
    """Return it in mg below a gram, as doses are said, and to four figures if it never ends."""
    shown = convenient(held)
    if shown.unit == "g" and shown.number < 1:
        shown = shown.to("mg")
    if not is_finite(shown.number):
        shown = Amount(round_to_significant(shown.number), shown.unit)
    return shown


def _first(dosing: Dosing, strength: Concentration | None) -> Message:
    place = f"directions.where.{dosing.place}" if dosing.place else ""
    food = f"directions.food.{dosing.food.value}" if dosing.food else ""
    return message(
        f"directions.sentence.{dosing.use.value}",
        amount=_amount(dosing, strength),
        where=message(place) if place else "",
        when=_when(dosing),
        food=message(food) if food else "",
    )


def _amount(dosing: Dosing, strength: Concentration | None) -> Message:
    amount = dosing.amount
    if amount is None:
        return message("directions.amount.thin")
    if units.dimension(amount.unit) is Dimension.PIECES:
        return message(f"directions.unit.{dosing.unit}", n=amount.number)
    if units.dimension(amount.unit) is Dimension.DROPS:
        return message("directions.unit.drop", n=amount.number)
    content = _beside(amount, strength)
    if content is None:
        return message("directions.amount.plain", amount=amount)
    return message("directions.amount.both", amount=amount, content=content)


def _beside(amount: Amount, strength: Concentration | None) -> Amount | None:
    if strength is None or units.dimension(amount.unit) is not Dimension.VOLUME:
        return None
    return content_of(amount, strength)


def _when(dosing: Dosing) -> Message:
    key = f"directions.when.{dosing.often.value}"
    if dosing.often is Often.AT:
        return message(key, periods=_listed(dosing.at))
    if dosing.often in (Often.NEEDED, Often.ONCE):
        return message(key)
    return message(key, n=dosing.number or 1)


def _listed(parts: tuple[DayPart, ...]) -> Message:
    in_order = [each for each in DayPart if each in parts]
    named = zip("abcd", in_order, strict=False)
    said = {name: message(f"directions.period.{each.value}") for name, each in named}
    return message(f"directions.list.{len(in_order)}", **said)


def _further(dosing: Dosing) -> Iterator[Message]:
    if dosing.often is Often.NEEDED:
        yield message("directions.limit.most", n=dosing.number or 1)
    if dosing.hours_apart:
        yield message("directions.limit.apart", n=dosing.hours_apart)
    if dosing.lasts is not None:
        yield message(f"directions.lasts.{dosing.lasts.span.value}", n=dosing.lasts.number)


def _require_amount(dosing: Dosing) -> None:
    amount = dosing.amount
    if amount is None:
        if dosing.use is not Use.APPLY:
            raise Refusal(message("directions.no_amount"))
        return
    if amount.number <= 0:
        raise Refusal(message("directions.not_positive", amount=amount))
    kind = units.dimension(amount.unit)
    if kind not in _MEASURED:
        raise Refusal(message("directions.wrong_measure", amount=amount))
    if (kind is Dimension.PIECES) != (dosing.unit in UNITS):
        raise Refusal(message("directions.no_unit"))


def _require_place(dosing: Dosing) -> None:
    there_are = PLACES[dosing.use]
    if dosing.place not in there_are and (there_are or dosing.place):
        raise Refusal(message("directions.no_such_place"))


def _require_often(dosing: Dosing) -> None:
    if dosing.hours_apart is not None and dosing.hours_apart < 1:
        raise Refusal(message("directions.no_number"))
    if dosing.often is Often.ONCE:
        return
    if dosing.often is Often.AT:
        if not dosing.at:
            raise Refusal(message("directions.no_periods"))
        return
    if dosing.number is None or dosing.number < 1:
        needed = dosing.often is Often.NEEDED
        key = "as_needed_without_limit" if needed else "no_number"
        raise Refusal(message(f"directions.{key}"))
