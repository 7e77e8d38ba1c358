"""How many doses a quantity holds, how long it lasts, and how much n days take."""

from __future__ import annotations

from fractions import Fraction
from math import ceil, floor

from formulary.calculating.choosing import given_one, left_out
from formulary.calculating.describing import Calculation, Input, Kind, speaker
from formulary.calculating.outcome import Number, Outcome, Result, caution, note
from formulary.calculating.values import Given
from formulary.errors import Refusal
from formulary.finding import Finding
from formulary.messages import Message
from formulary.quantity.amount import Amount
from formulary.quantity.writing import convenient

AREA = "supply"
TEXTS = {
    "input": {
        "total": "Quantity in all",
        "dose": "Each dose",
        "doses": "Number of doses",
        "first_dose": "First dose, if it differs",
        "doses_per_day": "Doses in a day",
        "days": "Days",
        "unit_holds": "One tablet, capsule or measure holds",
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
        "about": "Of total quantity, dose and number of doses, any two give the third.",
        "source": "Total = dose x number of doses.",
        "limits": "Doses are counted whole; the rest is shown.",
        "caution": "What stays in the container or the measure is not counted in: add it.",
    },
    "supply_for_days": {
        "title": "Supply for a number of days",
        "about": "How much a course takes, with a first dose if it differs, or how many days a "
        "quantity lasts.",
        "source": "Total = first dose + dose x doses in a day x days.",
        "limits": "The first dose comes on top of the days. Whole units are rounded up.",
        "caution": "The supply can’t outlast the use-by date.",
    },
    "step": {
        "dose": "{total} / {doses} = {dose}",
        "total": "{dose} x {doses} = {total}",
        "doses": "{total} / {dose} = {exact}: {doses} whole doses, {left_over} left over",
        "course": "{dose} x {doses_per_day} x {days} = {course}",
        "with_first": "{first_dose} + {course} = {total}",
        "units": "{total} / {unit_holds} = {exact}: {units} in whole units",
        "held": "{total} x {unit_holds} = {held}",
        "without_first": "{total} − {first_dose} = {rest}",
        "days": "{rest} / ({dose} x {doses_per_day}) = {exact}, counted whole: {days}",
    },
    "two_of_three": "Give two of total quantity, dose and number of doses.",
    "one_of_two": "Give either the days or the total quantity.",
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
    dose, daily, days = given.amount("dose"), given.count("doses_per_day"), given.count("days")
    course = convenient(dose * daily * days)
    steps = (say("step.course", dose=dose, doses_per_day=daily, days=days, course=course),)
    if not given.has("first_dose"):
        return course, steps
    first = given.amount("first_dose")
    total = convenient(course + first)
    return total, (*steps, say("step.with_first", first_dose=first, course=course, total=total))


def _division(given: Given, holds: Amount, exact: Fraction) -> tuple[Finding, ...]:
    """Return what is to be said where doses or the total are no whole units."""
    doses = [given.amount(name) for name in ("dose", "first_dose") if given.has(name)]
    found = []
    if any((dose / holds).denominator != 1 for dose in doses):
        found.append(caution(say("divided", unit_holds=holds), "unit_holds"))
    if exact.denominator != 1:
        found.append(note(say("rounded_up"), "unit_holds"))
    return tuple(found)


def _lasting(given: Given) -> Outcome:
    dose, daily = given.amount("dose"), given.count("doses_per_day")
    rest, steps = _quantity(given)
    if given.has("first_dose"):
        first = given.amount("first_dose")
        if first > rest:
            raise Refusal(say("first_too_large"))
        said = say("step.without_first", total=rest, first_dose=first, rest=rest - first)
        rest, steps = rest - first, (*steps, said)
    exact = rest / (dose * daily)
    days = Amount(Fraction(floor(exact)), "day")
    step = say("step.days", rest=rest, dose=dose, doses_per_day=daily, exact=exact, days=days)
    return Outcome((Result("days", days),), (*steps, step))


def _quantity(given: Given) -> tuple[Amount, tuple[Message, ...]]:
    """Return the quantity at hand; whole units as what they hold, where that was said."""
    total = given.amount("total")
    if total.unit != "piece" or not given.has("unit_holds"):
        return total, ()
    holds = given.amount("unit_holds")
    held = convenient(holds * total.number)
    return held, (say("step.held", total=total, unit_holds=holds, held=held),)


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
            Input("dose", AMOUNT),
            Input("doses_per_day", (Kind.COUNT,), default="1", most=Fraction(24)),
            Input("days", (Kind.COUNT,), optional=True, most=Fraction(3660)),
            Input("total", AMOUNT, optional=True),
            Input("first_dose", AMOUNT, optional=True),
            Input("unit_holds", AMOUNT, optional=True),
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
