"""What is left of a decaying substance by zero or first order: an estimate, never a date."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from fractions import Fraction

from formulary.calculating.brief import brief_number, brief_speaker
from formulary.calculating.choosing import given_one
from formulary.calculating.describing import Calculation, Input, Kind
from formulary.calculating.numeric import exponential, natural_logarithm, shortened
from formulary.calculating.outcome import Number, Outcome, Result, caution
from formulary.calculating.spans import DAY, read_rate, read_span, share_of
from formulary.calculating.values import Given
from formulary.errors import Refusal
from formulary.finding import Finding, Severity
from formulary.messages import Message
from formulary.quantity.amount import Amount, Concentration
from formulary.quantity.writing import convenient

AREA = "remaining_potency"
TEXTS = {
    "input": {
        "order": "Order of the decay",
        "elapsed": "Time since it was made or assayed",
        "half_life": "Half-life",
        "rate": "Rate constant with its time (0.02/day, 0.5 mg/mL per hour); without one per day, "
        "at zero order in per cent of the start",
        "measured": "Left at a measurement, in per cent or as the start is given",
        "measured_after": "That measurement was after",
        "start": "Amount or strength at the start",
        "least": "Least content asked for",
    },
    "result": {
        "remaining": "Left of the start",
        "left": "Amount or strength left",
        "rate": "Rate per day",
        "half_life": "Half-life",
        "time_to_least": "Estimated time until the least content",
    },
    "remaining_potency": {
        "title": "Remaining potency",
        "words": "half-life, shelf life, degradation, kinetics, t90, first order, zero order, "
        "stability, expiry, decay",
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
        "zero_halved": "50 % / {rate} % in a day = {time} half-life",
        "first_halved": "ln 2 / {rate} per day = {time} half-life",
        "zero_measured": "(100 % − {measured} %) / {measured_after} = {rate} % lost in a day",
        "zero_rate": "{rate} % of the start lost in a day",
        "part_of_start": "{part} / {start} = {percent} %",
        "per_day": "{figure} / {days} days = {rate} in a day",
        "first_half_life": "ln 2 / {half_life} = {rate} per day",
        "first_measured": "−ln({measured} % / 100 %) / {measured_after} = {rate} per day",
        "first_rate": "{rate} per day",
        "zero_least": "(100 % − {least} %) / {rate} % in a day = {time}",
        "first_least": "−ln({least} % / 100 %) / {rate} per day = {time}",
        "zero": "100 % − {rate} % x {days} days = {remaining} %",
        "zero_used_up": "{rate} % x {days} days = {lost} %, which is all of it: {remaining} % "
        "is left",
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
    "start_needed": "{part} must be compared with what was there at the start: give that, in the "
    "same measure.",
    "first_is_a_part": "At first order a rate is a part lost in a time (0.02/day), not {part}.",
    "too_fast": "This rate leaves nothing that could be calculated with.",
}
ZERO, FIRST = "zero", "first"
FULL = Fraction(100)
LONGEST = Fraction(500)
"""The greatest rate x time that is worked out: e^-500 is nothing."""
say = brief_speaker(AREA)


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
        # The rate has 15 digits; a half-life that was typed comes back as typed only in fewer.
        return brief_number(-natural_logarithm(least / FULL) / self.rate)


def remaining_potency(given: Given) -> Outcome:
    """Return what is left by the law of decay, and when half and the least content are reached."""
    decay, first = _decay(given)
    unit = _time_unit(given)
    least = given.number("least")
    until, half = (Amount(decay.days_until(each), DAY).to(unit) for each in (least, FULL / 2))
    results = (
        Result("rate", _number(decay, decay.rate, "%/day" if decay.order == ZERO else "1/day")),
        Result("half_life", half),
        Result("time_to_least", until),
    )
    steps = (
        *first,
        say(f"step.{decay.order}_halved", rate=decay.rate, time=half),
        say(f"step.{decay.order}_least", least=least, rate=decay.rate, time=until),
    )
    if not given.has("elapsed"):
        return Outcome((results[-1], *results[:-1]), steps, (caution(say("estimate")),))
    return _after(given, decay, Outcome(results, steps))


def _after(given: Given, decay: Decay, so_far: Outcome) -> Outcome:
    """Return the answer with what is left after the time elapsed first."""
    days = _time(given, "elapsed").to(DAY).number
    remaining = decay.remaining(days)
    results = (Result("remaining", _number(decay, remaining, "%")), *so_far.results)
    said = _said_left(decay, days, remaining)
    steps = (*so_far.steps, said)
    findings = _doubts(given, days, under=remaining < given.number("least"))
    if not given.has("start"):
        return Outcome(results, steps, findings)
    start = _start(given)
    left = _left(start, remaining)
    step = say("step.left", start=start, remaining=remaining, left=left)
    return Outcome((Result("left", left), *results), (*steps, step), findings)


def _said_left(decay: Decay, days: Fraction, remaining: Fraction) -> Message:
    if decay.order == ZERO and not remaining:
        lost = decay.rate * days
        return say("step.zero_used_up", rate=decay.rate, days=days, lost=lost, remaining=remaining)
    return say(f"step.{decay.order}", rate=decay.rate, days=days, remaining=remaining)


def _time(given: Given, name: str) -> Amount:
    """Return a time; months and years, which are no exact units, in days."""
    return given.amount(name) if given.is_amount(name) else read_span(given.text(name), name)


def _time_unit(given: Given) -> str:
    """Return the unit that the times were typed in, or day where that is none of the units."""
    for name in ("elapsed", "half_life", "measured_after"):
        if given.is_amount(name):
            return given.amount(name).unit
    return DAY


def _start(given: Given) -> Amount | Concentration:
    return given.amount("start") if given.is_amount("start") else given.strength("start")


def _number(decay: Decay, number: Fraction, unit: str) -> Number:
    rounded = decay.order == FIRST
    return Number(brief_number(number) if rounded else number, unit, rounded)


def _left(start: Amount | Concentration, remaining: Fraction) -> Amount | Concentration:
    if isinstance(start, Amount):
        return convenient(start * (remaining / 100))
    return Concentration(start.number * remaining / 100, start.unit)


def _decay(given: Given) -> tuple[Decay, tuple[Message, ...]]:
    """Return the law from a half-life, a rate or a measurement, and the steps to it."""
    name = given_one(given, tuple(_RATES), say("one_of_three"))
    order = given.text("order")
    rate, figures, first = _RATES[name](given, order)
    return Decay(order, rate), (*first, say(f"step.{order}_{name}", rate=rate, **figures))


_Figures = dict[str, Amount | Fraction]
_Found = tuple[Fraction, _Figures, tuple[Message, ...]]


def _by_half_life(given: Given, order: str) -> _Found:
    half_life = _time(given, "half_life")
    days = half_life.to(DAY).number
    if order == ZERO:
        return FULL / 2 / days, {"half_life": half_life}, ()
    return shortened(natural_logarithm(Fraction(2)) / days), {"half_life": half_life}, ()


def _by_rate(given: Given, order: str) -> _Found:
    if isinstance(given.values["rate"], Fraction):
        return given.number("rate"), {}, ()
    rate = read_rate(given.text("rate"), "rate")
    if isinstance(rate.part, Fraction):
        figure = rate.part if order == FIRST or not rate.in_percent else rate.part * FULL
        return _each_day(figure, rate.days, ())
    if order == FIRST:
        raise Refusal(say("first_is_a_part", part=rate.part))
    percent, steps = _percent_of_start(given, rate.part)
    return _each_day(percent, rate.days, steps)


def _each_day(figure: Fraction, days: Fraction, steps: tuple[Message, ...]) -> _Found:
    found = shortened(figure / days)
    return found, {}, (*steps, say("step.per_day", figure=figure, days=days, rate=found))


def _percent_of_start(
    given: Given, part: Amount | Concentration
) -> tuple[Fraction, tuple[Message, ...]]:
    """Return an amount or a strength in per cent of the start. Raises Refusal without one."""
    start = _start(given) if given.has("start") else None
    share = share_of(part, start) if start is not None else None
    if start is None or share is None:
        raise Refusal(say("start_needed", part=part))
    percent = share * FULL
    return percent, (say("step.part_of_start", part=part, start=start, percent=percent),)


def _by_measurement(given: Given, order: str) -> _Found:
    if not given.has("measured_after"):
        raise Refusal(say("measurement_incomplete"))
    measured, steps = _measured(given)
    after = _time(given, "measured_after")
    if measured >= FULL:
        raise Refusal(say("nothing_lost"))
    days = after.to(DAY).number
    figures: _Figures = {"measured": measured, "measured_after": after}
    if order == ZERO:
        return (FULL - measured) / days, figures, steps
    return shortened(-natural_logarithm(measured / FULL) / days), figures, steps


def _measured(given: Given) -> tuple[Fraction, tuple[Message, ...]]:
    if isinstance(given.values["measured"], Fraction):
        return given.number("measured"), ()
    by_amount = given.is_amount("measured")
    part = given.amount("measured") if by_amount else given.strength("measured")
    return _percent_of_start(given, part)


_RATES: dict[str, Callable[[Given, str], _Found]] = {
    "half_life": _by_half_life,
    "rate": _by_rate,
    "measured": _by_measurement,
}


def _doubts(given: Given, days: Fraction, *, under: bool) -> tuple[Finding, ...]:
    found = [caution(say("estimate"))]
    if under:
        found.append(caution(say("under_least"), "least"))
    if given.has("measured") and days > _time(given, "measured_after").to(DAY).number:
        found.append(caution(say("beyond_data"), "elapsed"))
    return tuple(found)


TIME = (Kind.TIME, Kind.TEXT)
CONTENT = (Kind.MASS, Kind.ACTIVITY, Kind.STRENGTH)
CALCULATIONS = (
    Calculation(
        "remaining-potency",
        AREA,
        (
            Input("order", (Kind.CHOICE,), choices=(ZERO, FIRST)),
            Input("elapsed", TIME, optional=True),
            Input("half_life", TIME, optional=True),
            Input("rate", (Kind.NUMBER, Kind.TEXT), optional=True),
            Input("measured", (Kind.PERCENT, *CONTENT), optional=True, units=("%", "mg/mL")),
            Input("measured_after", TIME, optional=True),
            Input("start", CONTENT, optional=True),
            Input("least", (Kind.PERCENT,), default="90 %", most=FULL, assumed=Severity.NOTE),
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
