"""How many doses a quantity holds, how long it lasts, and how much n days take."""

from __future__ import annotations

from fractions import Fraction
from math import ceil, floor
from typing import TypeAlias

from formulary.calculating.choosing import given_one, left_out
from formulary.calculating.describing import Calculation, Input, Kind, speaker
from formulary.calculating.outcome import Number, Outcome, Result, caution, note
from formulary.calculating.values import Given
from formulary.calculations.doses import amount_for
from formulary.errors import Refusal
from formulary.finding import Finding
from formulary.messages import Message
from formulary.quantity import units
from formulary.quantity.amount import Amount
from formulary.quantity.writing import convenient, in_one_unit

AREA = "supply"
TEXTS = {
    "input": {
        "total": "Quantity in all",
        "dose": "Each dose; of a course in steps, that of each step",
        "doses": "Number of doses",
        "first_dose": "First dose, if it differs",
        "doses_per_day": "Doses in a day",
        "every": "Time from one dose to the next, in place of doses in a day",
        "days": "Days, or a time in weeks; of a course in steps, those of each step",
        "unit_holds": "One tablet, capsule, bottle or measure holds",
        "strength": "Strength of the preparation, where doses are of the active",
    },
    "result": {
        "dose": "Each dose",
        "total": "Quantity in all",
        "doses": "Whole doses",
        "left_over": "Left over",
        "days": "Whole days",
        "units": "Tablets, capsules or measures",
    },
    "number_of_doses": {
        "title": "Number of doses, dose and quantity",
        "words": "how many doses, dosage, bottle, dispensed, dose size",
        "about": "Of total quantity, dose and number of doses, any two give the third.",
        "source": "Total = dose x number of doses.",
        "limits": "Doses are counted whole; the rest is shown.",
        "caution": "What stays in the container or the measure is not counted in: add it.",
    },
    "supply_for_days": {
        "title": "Supply for a number of days",
        "words": "days supply, day’s supply, duration, quantity to dispense, course, taper, "
        "tablets, insulin",
        "about": "How much a course takes, with a first dose if it differs, or how many days a "
        "quantity lasts.",
        "source": "Total = first dose + dose x doses in a day x days.",
        "limits": "The first dose comes on top of the days. Whole units are rounded up. In steps, "
        "doses and days go in pairs.",
        "caution": "The supply can’t outlast the use-by date.",
    },
    "step": {
        "dose": "{total} / {doses} = {dose}",
        "total": "{dose} x {doses} = {total}",
        "doses": "{total} / {dose} = {exact}: {doses} whole doses, {left_over} left over",
        "taken": "{dose} / {strength} = {taken} for a dose",
        "whole_doses": "{doses_per_day} doses in a day x {days} days = {exact}: {doses} doses",
        "course": "{dose} x {doses} = {course}",
        "daily_course": "{dose} x {doses_per_day} x {days} = {course}",
        "every": "One dose in {every}: {doses_per_day} in a day",
        "steps": "Sum of the steps: {course}",
        "with_first": "{first_dose} + {course} = {total}",
        "units": "{total} / {unit_holds} = {exact}: {units} in whole units",
        "held": "{total} x {unit_holds} = {held}",
        "without_first": "{total} − {first_dose} = {rest}",
        "days": "{rest} / ({dose} x {doses_per_day}) = {exact}, counted whole: {days}",
    },
    "two_of_three": "Give two of total quantity, dose and number of doses.",
    "one_of_two": "Give either the days or the total quantity.",
    "one_rhythm": "Give either the doses in a day or the time from one dose to the next.",
    "steps_differ": "A course in steps needs days for each step: there are {doses} steps and "
    "{days} times. Dose and doses in a day are one for all, or one for each.",
    "steps_have_no_end": "How long a quantity lasts is worked out for one dose, not for steps.",
    "no_whole_dose": "The quantity doesn’t hold one whole dose.",
    "first_too_large": "The first dose alone is more than the quantity.",
    "divided": "A dose isn’t a whole number of units of {unit_holds}. Make sure that they can be "
    "divided.",
    "rounded_up": "Rounded up to whole units.",
}
AMOUNT = (Kind.VOLUME, Kind.MASS, Kind.ACTIVITY, Kind.PIECES, Kind.DROPS)
say = speaker(AREA)


def number_of_doses(given: Given) -> Outcome:
    """Return the third of total, dose and number of doses."""
    wanted = left_out(given, ("total", "dose", "doses"), say("two_of_three"))
    if wanted == "doses":
        return _whole_doses(given.amount("total"), given.amount("dose"))
    doses = given.count("doses")
    if wanted == "dose":
        total = given.amount("total")
        dose = convenient(total * Fraction(1, doses))
        step = say("step.dose", total=total, doses=doses, dose=dose)
        return Outcome((Result("dose", dose),), (step,))
    dose = given.amount("dose")
    total = convenient(dose * doses)
    return Outcome(
        (Result("total", total),), (say("step.total", dose=dose, doses=doses, total=total),)
    )


def _whole_doses(total: Amount, dose: Amount) -> Outcome:
    exact = total / dose
    doses = floor(exact)
    if not doses:
        raise Refusal(say("no_whole_dose"))
    rest = convenient(total - dose * doses)
    said = {"total": total, "dose": dose, "exact": exact, "doses": doses, "left_over": rest}
    results = (Result("doses", Number(Fraction(doses))), Result("left_over", rest))
    return Outcome(results, (say("step.doses", **said),))


def supply_for_days(given: Given) -> Outcome:
    """Return what a course takes, or how many days a quantity lasts."""
    if given_one(given, ("days", "total"), say("one_of_two")) == "total":
        return _lasting(given)
    total, steps = _course(given)
    if not given.has("unit_holds"):
        return Outcome((Result("total", total),), steps)
    holds = given.amount("unit_holds")
    exact = total / holds
    pieces = Amount(Fraction(ceil(exact)), "piece")
    step = say("step.units", total=total, unit_holds=holds, exact=exact, units=pieces)
    results = (Result("units", pieces), Result("total", total))
    return Outcome(results, (*steps, step), _division(given, holds, exact))


def _course(given: Given) -> tuple[Amount, tuple[Message, ...]]:
    """Return what all steps of the course take, with the first dose."""
    stages, steps = _stages(given)
    taken: list[Amount] = []
    for dose, daily, days in stages:
        count = ceil(daily * days)
        taken.append(convenient(dose * count))
        rhythm = {"doses_per_day": daily, "days": days}
        said = {"dose": dose, "course": taken[-1]}
        if count == daily * days:
            steps = (*steps, say("step.daily_course", **rhythm, **said))
            continue
        rounded = say("step.whole_doses", exact=daily * days, doses=count, **rhythm)
        steps = (*steps, rounded, say("step.course", doses=count, **said))
    course = convenient(sum(taken[1:], taken[0]))
    if len(taken) > 1:
        steps = (*steps, say("step.steps", course=course))
    if not given.has("first_dose"):
        return course, steps
    first, as_taken = _taken(given, given.amount("first_dose"))
    total = convenient(course + first)
    return total, (
        *steps,
        *as_taken,
        say("step.with_first", **in_one_unit(first_dose=first, course=course, total=total)),
    )


_Stage: TypeAlias = tuple[Amount, Fraction, Fraction]
"""A dose, how many of it in a day, and for how many days."""


def _stages(given: Given) -> tuple[list[_Stage], tuple[Message, ...]]:
    doses, days = given.amounts("dose"), [_in_days(each) for each in given.values["days"]]
    daily, steps = _rhythm(given)
    count = max(len(doses), len(daily))
    doses = doses * count if len(doses) == 1 else doses
    daily = daily * count if len(daily) == 1 else daily
    if not len(doses) == len(days) == len(daily):
        raise Refusal(say("steps_differ", doses=len(doses), days=len(days)))
    taken = [_taken(given, dose) for dose in doses]
    steps = (*steps, *dict.fromkeys(said for _, each in taken for said in each))
    return list(zip((amount for amount, _ in taken), daily, days, strict=True)), steps


def _taken(given: Given, dose: Amount) -> tuple[Amount, tuple[Message, ...]]:
    """Return a dose as what is taken of the preparation, where its strength was given."""
    if not given.has("strength"):
        return dose, ()
    strength = given.strength("strength")
    taken = amount_for(dose, strength)
    return taken, (say("step.taken", dose=dose, strength=strength, taken=taken),)


def _in_days(typed: Fraction | Amount) -> Fraction:
    return typed.to("day").number if isinstance(typed, Amount) else typed


def _rhythm(given: Given) -> tuple[tuple[Fraction, ...], tuple[Message, ...]]:
    """Return the doses in a day: one figure, or one for each step."""
    if given.has("every") and given.has("doses_per_day"):
        raise Refusal(say("one_rhythm"))
    if not given.has("every"):
        daily = given.numbers("doses_per_day") if given.has("doses_per_day") else (Fraction(1),)
        return daily, ()
    every = given.amount("every")
    per_day = 1 / every.to("day").number
    return (per_day,), (say("step.every", every=every, doses_per_day=per_day),)


def _division(given: Given, holds: Amount, exact: Fraction) -> tuple[Finding, ...]:
    """Return what is to be said where doses or the total are no whole units."""
    doses = list(given.amounts("dose"))
    doses += [given.amount("first_dose")] if given.has("first_dose") else []
    doses = [_taken(given, dose)[0] for dose in doses]
    found = []
    by_bottle = given.has("strength") or units.dimension(holds.unit) is units.VOLUME
    if not by_bottle and any((dose / holds).denominator != 1 for dose in doses):
        found.append(caution(say("divided", unit_holds=holds), "unit_holds"))
    if exact.denominator != 1:
        found.append(note(say("rounded_up"), "unit_holds"))
    return tuple(found)


def _lasting(given: Given) -> Outcome:
    doses, (daily, rhythm) = given.amounts("dose"), _rhythm(given)
    if len(doses) > 1 or len(daily) > 1:
        raise Refusal(say("steps_have_no_end"))
    (dose, as_said), per_day = _taken(given, doses[0]), daily[0]
    rest, steps = _quantity(given)
    steps = (*as_said, *steps)
    if given.has("first_dose"):
        first, as_taken = _taken(given, given.amount("first_dose"))
        steps = (*steps, *as_taken)
        if first > rest:
            raise Refusal(say("first_too_large"))
        said = say("step.without_first", total=rest, first_dose=first, rest=rest - first)
        rest, steps = rest - first, (*steps, said)
    exact = rest / (dose * per_day)
    days = Amount(Fraction(floor(exact)), "day")
    step = say("step.days", rest=rest, dose=dose, doses_per_day=per_day, exact=exact, days=days)
    return Outcome((Result("days", days),), (*rhythm, *steps, step))


def _quantity(given: Given) -> tuple[Amount, tuple[Message, ...]]:
    """Return the quantity at hand; whole units as what they hold, where that was said."""
    total = given.amount("total")
    if total.unit != "piece" or not given.has("unit_holds"):
        return total, ()
    holds = given.amount("unit_holds")
    held = convenient(holds * total.number)
    return held, (say("step.held", total=total, unit_holds=holds, held=held),)


DAYS = (Kind.COUNT, Kind.TIME)
CALCULATIONS = (
    Calculation(
        "number-of-doses",
        AREA,
        (
            Input("total", AMOUNT, optional=True),
            Input("dose", AMOUNT, optional=True),
            Input("doses", (Kind.COUNT,), optional=True),
        ),
        number_of_doses,
        (("total", "100 mL"), ("dose", "5 mL")),
    ),
    Calculation(
        "supply-for-days",
        AREA,
        (
            Input("dose", AMOUNT, many=True),
            Input("doses_per_day", (Kind.COUNT,), many=True, optional=True, most=Fraction(24)),
            Input("every", (Kind.TIME,), optional=True, units=("hour", "day", "week")),
            Input("days", DAYS, many=True, optional=True, most=Fraction(3660)),
            Input("total", AMOUNT, optional=True),
            Input("first_dose", AMOUNT, optional=True),
            Input("unit_holds", AMOUNT, optional=True),
            Input("strength", (Kind.STRENGTH,), optional=True, units=("mg/mL", "mg/piece")),
        ),
        supply_for_days,
        (
            ("dose", "250 mg"),
            ("doses_per_day", "3"),
            ("days", "10"),
            ("first_dose", "500 mg"),
            ("unit_holds", "250 mg"),
        ),
    ),
)
