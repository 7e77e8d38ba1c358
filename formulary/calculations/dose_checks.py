"""A prescribed dose against a usual range: of one dose or of a day, plain or for each kg or m2."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from formulary.calculating.body import weight_doubts
from formulary.calculating.describing import Calculation, Input, Kind, speaker
from formulary.calculating.outcome import Number, Outcome, Result, caution, note
from formulary.calculating.values import Given
from formulary.calculations.doses import (
    AMOUNT,
    BODY,
    DAILY,
    EACH,
    body_of,
    dose_in,
    for_body,
    meaning_unsaid,
    meant,
)
from formulary.errors import Refusal
from formulary.messages import Message
from formulary.quantity import units
from formulary.quantity.amount import Amount, Concentration
from formulary.quantity.writing import convenient, convenient_strength, in_one_unit

AREA = "dose_checks"
TEXTS = {
    "input": {
        "prescribed": "Dose prescribed, or with the strength the amount of the preparation",
        "strength": "Strength of the preparation",
        "doses_per_day": "Doses in a day",
        "body_weight": "Body weight",
        "body_surface": "Body surface area",
        "usual_least": "Least usual dose, plain or for each kg or m²",
        "usual_most": "Greatest usual dose, plain or for each kg or m²",
        "range_is": "The usual range is meant for",
    },
    "result": {
        "inside": "Inside the usual range",
        "compared": "Compared with the range",
        "least": "Least usual dose",
        "most": "Greatest usual dose",
        "share_of_most": "Share of the greatest usual dose",
        "per_body": "Dose for each kg",
    },
    "dose_check": {
        "title": "Check of a dose against a usual range",
        "words": "dosage, maximum dose, mg/kg, paediatric, pediatric, child, overdose, range, "
        "plausibility",
        "about": "Compares a prescribed dose, or a day’s doses, with a usual range, plain or for "
        "each kg or m².",
        "source": "The range is the one typed, from the reference in use.",
        "limits": "It compares figures; it knows no drug. Without a range it judges nothing.",
        "caution": "A dose inside a range can still be wrong for this patient.",
    },
    "step": {
        "held": "{taken} x {strength} = {dose}",
        "daily": "{dose} x {doses} = {daily} in a day",
        "least": "Least: {dose} x {body} = {amount}",
        "most": "Greatest: {dose} x {body} = {amount}",
        "inside": "{prescribed} lies within {least} to {most}",
        "under": "{prescribed} is less than {least}",
        "over": "{prescribed} is more than {most}",
        "compare_most": "{prescribed} / {most} = {share} % of the greatest usual dose",
        "compare_least": "{prescribed} is no less than {least}",
        "per_body": "{prescribed} / {body_weight} = {per_body}",
    },
    "no_range": "There is no range on file: nothing was judged.",
    "under_range": "The dose is below the usual range.",
    "over_range": "The dose is above the usual range.",
    "ends_swapped": "The least usual dose is above the greatest.",
    "ends_differ": "One end of the range is meant for a dose and the other for a day.",
    "doses_needed": "The usual range is a day’s: say how many doses there are in a day.",
    "not_alike": "{prescribed} can’t be compared with {usual}. If it is an amount of the "
    "preparation, give its strength.",
}
say = speaker(AREA)


@dataclass(frozen=True, slots=True)
class End:
    """One end of the usual range for this body, and whether it is one dose's or a day's."""

    amount: Amount
    meant: str
    steps: tuple[Message, ...]


def dose_check(given: Given) -> Outcome:
    """Return whether a dose, or a day's doses, lies inside the usual range, if there is one."""
    dose, first = _prescribed(given)
    least, most = (_end(given, name) for name in ("least", "most"))
    ends = [end for end in (least, most) if end is not None]
    if not ends:
        return _unjudged(given, dose, first)
    if len({end.meant for end in ends}) > 1:
        raise Refusal(say("ends_differ"))
    compared, second = _compared(given, dose, ends[0])
    if least is not None and most is not None and least.amount > most.amount:
        raise Refusal(say("ends_swapped"))
    steps = (*first, *second, *(step for end in ends for step in end.steps))
    return _judged(given, dose, compared, (least, most), steps)


def _prescribed(given: Given) -> tuple[Amount, tuple[Message, ...]]:
    """Return the dose; an amount of a preparation as what it holds."""
    typed = given.amount("prescribed")
    if not given.has("strength"):
        return typed, ()
    strength = given.strength("strength")
    dose = dose_in(typed, strength)
    return dose, (say("step.held", taken=typed, strength=strength, dose=dose),)


def _end(given: Given, end: str) -> End | None:
    name, otherwise = f"usual_{end}", given.text("range_is")
    if not given.has(name):
        return None
    if given.is_amount(name):
        return End(given.amount(name), otherwise, ())
    dose, dose_is = meant(given, name, otherwise)
    weight, surface = body_of(given)
    amount = for_body(dose, weight, surface).result
    body = weight if dose.unit.endswith("g") else surface
    return End(
        amount, dose_is, (say(f"step.{end}", dose=dose, body=body or amount, amount=amount),)
    )


def _compared(given: Given, dose: Amount, end: End) -> tuple[Amount, tuple[Message, ...]]:
    """Return what is compared with the range: the dose, or where it is a day's, all of a day."""
    if units.dimension(dose.unit) is not units.dimension(end.amount.unit):
        raise Refusal(say("not_alike", prescribed=dose, usual=end.amount))
    if end.meant == EACH:
        return dose, ()
    if not given.has("doses_per_day"):
        raise Refusal(say("doses_needed"))
    doses = given.count("doses_per_day")
    daily = convenient(dose * doses)
    return daily, (say("step.daily", dose=dose, doses=doses, daily=daily),)


def _judged(
    given: Given,
    dose: Amount,
    compared: Amount,
    ends: tuple[End | None, End | None],
    steps: tuple[Message, ...],
) -> Outcome:
    least, most = (end.amount if end is not None else None for end in ends)
    under = least is not None and compared < least
    over = most is not None and compared > most
    named = (("least", least), ("most", most))
    results = [
        Result("inside", not under and not over),
        Result("compared", compared),
        *(Result(name, value) for name, value in named if value is not None),
        *_per_body(given, dose),
    ]
    if most is not None:
        results.append(Result("share_of_most", Number(compared / most * 100, "%")))
    keys = ["under_range"] * under + ["over_range"] * over
    findings = tuple(caution(say(key), "prescribed") for key in keys)
    findings += meaning_unsaid(given, "range_is", "usual_least", "usual_most")
    findings += weight_doubts(given)
    return Outcome(tuple(results), (*steps, _comparison(compared, least, most)), findings)


def _unjudged(given: Given, dose: Amount, steps: tuple[Message, ...]) -> Outcome:
    results = _per_body(given, dose)
    if results:
        said = {"prescribed": dose, "body_weight": given.amount("body_weight")}
        steps = (*steps, say("step.per_body", per_body=_for_each_kg(given, dose), **said))
    return Outcome(results, steps, (note(say("no_range")), *weight_doubts(given)))


def _per_body(given: Given, dose: Amount) -> tuple[Result, ...]:
    return (Result("per_body", _for_each_kg(given, dose)),) if given.has("body_weight") else ()


def _for_each_kg(given: Given, dose: Amount) -> Concentration:
    kilograms = given.amount("body_weight").to("kg").number
    return convenient_strength(Concentration(dose.number / kilograms, f"{dose.unit}/kg"))


def _comparison(prescribed: Amount, least: Amount | None, most: Amount | None) -> Message:
    """Return the verdict in figures, all in one unit."""
    named = {"prescribed": prescribed, "least": least, "most": most}
    alike = in_one_unit(**{name: each for name, each in named.items() if each is not None})
    if least is not None and prescribed < least:
        return say("step.under", prescribed=alike["prescribed"], least=alike["least"])
    if most is not None and prescribed > most:
        return say("step.over", prescribed=alike["prescribed"], most=alike["most"])
    if least is not None and most is not None:
        return say("step.inside", **alike)
    if most is not None:
        share = prescribed / most * 100
        return say("step.compare_most", prescribed=prescribed, most=most, share=share)
    return say("step.compare_least", prescribed=prescribed, least=least or prescribed)


USUAL = (*AMOUNT, Kind.STRENGTH, Kind.TEXT)
USUAL_UNITS = ("mg/kg", "mg/m2", "mg", "g", "microgram", "international unit", "mL", "mmol")
CALCULATIONS = (
    Calculation(
        "dose-check",
        AREA,
        (
            Input("prescribed", (*AMOUNT, Kind.PIECES)),
            Input("strength", (Kind.STRENGTH,), optional=True, units=("mg/mL", "mg/piece")),
            Input("doses_per_day", (Kind.COUNT,), optional=True, most=Fraction(24)),
            *BODY,
            Input("usual_least", USUAL, optional=True, units=USUAL_UNITS),
            Input("usual_most", USUAL, optional=True, units=USUAL_UNITS),
            Input("range_is", (Kind.CHOICE,), default=EACH, choices=(EACH, DAILY)),
        ),
        dose_check,
        (
            ("prescribed", "250 mg"),
            ("body_weight", "20 kg"),
            ("usual_least", "10 mg/kg"),
            ("usual_most", "15 mg/kg"),
        ),
    ),
)
