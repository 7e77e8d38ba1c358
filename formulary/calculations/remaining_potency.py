"""What is left of a decaying substance by zero or first order: an estimate, never a date."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from fractions import Fraction

from formulary.calculating.choosing import given_one
from formulary.calculating.describing import Calculation, Input, Kind, speaker
from formulary.calculating.numeric import exponential, natural_logarithm, shortened
from formulary.calculating.outcome import Number, Outcome, Result, caution
from formulary.calculating.values import Given
from formulary.errors import Refusal
from formulary.finding import Finding
from formulary.messages import Message
from formulary.quantity.amount import Amount, Concentration
from formulary.quantity.writing import convenient

AREA = "remaining_potency"
TEXTS = {
    "input": {
        "order": "Order of the decay",
        "elapsed": "Time since it was made or assayed",
        "half_life": "Half-life",
        "rate": "Rate constant per day; at zero order per cent of the start lost in a day",
        "measured": "Per cent left at a measurement",
        "measured_after": "That measurement was after",
        "start": "Amount or strength at the start",
        "least": "Least content asked for",
    },
    "result": {
        "remaining": "Left of the start",
        "left": "Amount or strength left",
        "rate": "Rate per day",
        "time_to_least": "Estimated time until the least content",
    },
    "remaining_potency": {
        "title": "Remaining potency",
        "about": "What would be left after a time if the substance decayed by zero or first order.",
        "source": "Zero order: 100 % − k x t. First order: 100 % x e^(−k x t); k = ln 2 / "
        "half-life.",
        "limits": "One order, one temperature, one pH, one preparation throughout. Exponentials "
        "and logarithms are rounded to 15 digits.",
        "caution": "An estimate that rests on assumptions. It sets no use-by date and overrules "
        "none, and says nothing of what the substance turns into.",
    },
    "step": {
        "zero_half_life": "50 % / {half_life} = {rate} % lost in a day",
        "zero_measured": "(100 % − {measured} %) / {measured_after} = {rate} % lost in a day",
        "zero_rate": "{rate} % of the start lost in a day",
        "first_half_life": "ln 2 / {half_life} = {rate} per day",
        "first_measured": "−ln({measured} % / 100 %) / {measured_after} = {rate} per day",
        "first_rate": "{rate} per day",
        "zero_least": "(100 % − {least} %) / {rate} % in a day = {time}",
        "first_least": "−ln({least} % / 100 %) / {rate} per day = {time}",
        "zero": "100 % − {rate} % x {days} days = {remaining} %",
        "first": "100 % x e^(−{rate} x {days} days) = {remaining} %",
        "left": "{start} x {remaining} % = {left}",
    },
    "estimate": "This is an estimate from an assumed law of decay. Don’t give out, relabel or keep "
    "a preparation because of it: the use-by date comes from evidence, and the earlier date wins.",
    "under_least": "The estimate is below the least content asked for.",
    "beyond_data": "The time lies beyond what was measured: nobody knows whether the law holds so "
    "long.",
    "one_of_three": "Give one of half-life, rate, and per cent left at a measurement.",
    "measurement_incomplete": "A measurement is a per cent left and the time after which it was.",
    "nothing_lost": "A measurement of 100 % shows no loss, so there is no rate.",
    "too_fast": "This rate leaves nothing that could be calculated with.",
}
ZERO, FIRST = "zero", "first"
FULL = Fraction(100)
LONGEST = Fraction(500)
"""The greatest rate x time that is worked out: e^-500 is nothing."""
say = speaker(AREA)


@dataclass(frozen=True, slots=True)
class Decay:
    """A law of decay: ``rate`` per day, at zero order in per cent of the start."""

    order: str
    rate: Fraction

    def remaining(self, days: Fraction) -> Fraction:
        """Return the per cent left after so many days; at zero order never below nothing."""
        if self.order == ZERO:
            return max(FULL - self.rate * days, Fraction(0))
        if self.rate * days > LONGEST:
            raise Refusal(say("too_fast"))
        return FULL * exponential(-self.rate * days)

    def days_until(self, least: Fraction) -> Fraction:
        """Return the days until so many per cent are left."""
        if self.order == ZERO:
            return (FULL - least) / self.rate
        return shortened(-natural_logarithm(least / FULL) / self.rate)


def remaining_potency(given: Given) -> Outcome:
    """Return what is left by the law of decay, and when the least content is reached."""
    decay, first = _decay(given)
    days, least = given.amount("elapsed").to("day").number, given.number("least")
    remaining = decay.remaining(days)
    until = Amount(decay.days_until(least), "day")
    results = (
        Result("remaining", _number(decay, remaining, "%")),
        Result("rate", _number(decay, decay.rate, "%/day" if decay.order == ZERO else "1/day")),
        Result("time_to_least", until),
    )
    steps = (
        first,
        say(f"step.{decay.order}_least", least=least, rate=decay.rate, time=until),
        say(f"step.{decay.order}", rate=decay.rate, days=days, remaining=remaining),
    )
    findings = _doubts(given, days, under=remaining < least)
    if not given.has("start"):
        return Outcome(results, steps, findings)
    start = given.amount("start") if given.is_amount("start") else given.strength("start")
    left = _left(start, remaining)
    step = say("step.left", start=start, remaining=remaining, left=left)
    return Outcome((Result("left", left), *results), (*steps, step), findings)


def _number(decay: Decay, number: Fraction, unit: str) -> Number:
    return Number(number, unit, rounded=decay.order == FIRST)


def _left(start: Amount | Concentration, remaining: Fraction) -> Amount | Concentration:
    if isinstance(start, Amount):
        return convenient(start * (remaining / 100))
    return Concentration(start.number * remaining / 100, start.unit)


def _decay(given: Given) -> tuple[Decay, Message]:
    """Return the law from a half-life, a rate or a measurement, and the step to it."""
    name = given_one(given, tuple(_RATES), say("one_of_three"))
    order = given.text("order")
    rate, figures = _RATES[name](given, order)
    step = say(f"step.{order}_{name}", rate=rate, **figures)
    return Decay(order, rate), step


_Figures = dict[str, Amount | Fraction]


def _by_half_life(given: Given, order: str) -> tuple[Fraction, _Figures]:
    half_life = given.amount("half_life")
    days = half_life.to("day").number
    if order == ZERO:
        return FULL / 2 / days, {"half_life": half_life}
    return shortened(natural_logarithm(Fraction(2)) / days), {"half_life": half_life}


def _by_rate(given: Given, _: str) -> tuple[Fraction, _Figures]:
    return given.number("rate"), {}


def _by_measurement(given: Given, order: str) -> tuple[Fraction, _Figures]:
    if not given.has("measured_after"):
        raise Refusal(say("measurement_incomplete"))
    measured, after = given.number("measured"), given.amount("measured_after")
    if measured >= FULL:
        raise Refusal(say("nothing_lost"))
    days = after.to("day").number
    figures: _Figures = {"measured": measured, "measured_after": after}
    if order == ZERO:
        return (FULL - measured) / days, figures
    return shortened(-natural_logarithm(measured / FULL) / days), figures


_RATES: dict[str, Callable[[Given, str], tuple[Fraction, _Figures]]] = {
    "half_life": _by_half_life,
    "rate": _by_rate,
    "measured": _by_measurement,
}


def _doubts(given: Given, days: Fraction, *, under: bool) -> tuple[Finding, ...]:
    found = [caution(say("estimate"))]
    if under:
        found.append(caution(say("under_least"), "least"))
    if given.has("measured") and days > given.amount("measured_after").to("day").number:
        found.append(caution(say("beyond_data"), "elapsed"))
    return tuple(found)


CALCULATIONS = (
    Calculation(
        "remaining-potency",
        AREA,
        (
            Input("order", (Kind.CHOICE,), choices=(ZERO, FIRST)),
            Input("elapsed", (Kind.TIME,)),
            Input("half_life", (Kind.TIME,), optional=True),
            Input("rate", (Kind.NUMBER,), optional=True),
            Input("measured", (Kind.PERCENT,), optional=True, most=FULL),
            Input("measured_after", (Kind.TIME,), optional=True),
            Input("start", (Kind.MASS, Kind.ACTIVITY, Kind.STRENGTH), optional=True),
            Input("least", (Kind.PERCENT,), default="90 %", most=FULL),
        ),
        remaining_potency,
        (
            ("order", "first"),
            ("elapsed", "14 days"),
            ("measured", "95 %"),
            ("measured_after", "30 days"),
        ),
    ),
)
