"""Doses by body weight or surface, their checks, and what volume or how many units hold one."""

from __future__ import annotations

import re
from fractions import Fraction

from formulary.calculating.body import weight_doubts
from formulary.calculating.choosing import given_one
from formulary.calculating.describing import Calculation, Input, Kind, speaker
from formulary.calculating.doubting import many_drops
from formulary.calculating.outcome import Number, Outcome, Result, caution, note
from formulary.calculating.values import Given
from formulary.errors import BadText, Refusal
from formulary.finding import Finding, Severity
from formulary.messages import Message
from formulary.quantity import units
from formulary.quantity.amount import Amount, Concentration, OneIn
from formulary.quantity.parsing import parse_concentration
from formulary.quantity.units import Dimension
from formulary.quantity.writing import convenient
from formulary.working import Working

AREA = "doses"
TEXTS = {
    "input": {
        "dose": "Dose for each kg or m²",
        "body_weight": "Body weight",
        "body_surface": "Body surface area",
        "doses_per_day": "Doses in a day",
        "dose_is": "The dose is meant for",
        "maximum": "Greatest dose allowed, if there is one",
        "single_dose": "Dose",
        "volume": "Volume, mass or number of the preparation",
        "strength": "Strength of the preparation",
        "dropper": "Drops in a mL, of this preparation from this dropper",
    },
    "result": {
        "dose": "Each dose",
        "daily": "In a day",
        "share_of_maximum": "Share of the greatest dose",
        "take": "To take or give",
        "drops": "As drops",
        "drops_per_mL": "Drops in a mL",
    },
    "dose_by_body": {
        "title": "Dose by body weight or body surface",
        "words": "dosage, mg/kg, mg/m2, BSA, weight-based, paediatric, pediatric, child, "
        "daily dose, chemotherapy",
        "about": "Each dose and the daily amount from a dose in mg/kg or mg/m².",
        "source": "Dose = dose for each kg or m² x body weight or surface.",
        "limits": "Linear in weight or surface, as the reference means it.",
        "caution": "Check whether the reference gives one dose or a day’s. A heavy child may pass "
        "the adult’s greatest dose.",
    },
    "volume_per_dose": {
        "title": "Volume, mass, units or drops for a dose",
        "words": "mL per dose, oral liquid, syrup, teaspoon, spoonful, oral syringe, drops, "
        "IU, units, tablets",
        "about": "How much of a preparation holds a dose, or which dose an amount of it holds.",
        "source": "Dose / strength = amount to give.",
        "limits": "Drops only with the calibration of this preparation and this dropper.",
        "caution": "Measure oral liquids with an oral syringe. Drops differ between liquids, "
        "droppers and hands.",
    },
    "step": {
        "dose": "{dose} x {body} = {amount}",
        "shared": "{amount} in a day / {doses} = {each}",
        "daily": "{each} x {doses} = {amount} in a day",
        "each": "Each dose: {each}",
        "take": "{dose} / {strength} = {take}",
        "held": "{take} x {strength} = {dose}",
        "drops": "{take} x {dropper} = {drops}",
    },
    "meaning_unsaid": "Taken as meant for each dose: nothing says that it is a day’s. Check the "
    "reference, since a day’s amount given each time is an overdose.",
    "needs_weight": "A dose for each kg needs the body weight.",
    "needs_surface": "A dose for each m² needs the body surface area.",
    "per_what": "{dose} isn’t a dose for each kg or m².",
    "over_maximum": "{dose} is more than the greatest dose of {maximum}. It wasn’t lowered.",
    "one_of_two": "Give either the dose or the amount of the preparation.",
    "not_comparable": "{dose} can’t be taken from {strength}: they count different things.",
    "drops_need_volume": "Drops are counted from a volume.",
    "wrong_dropper": "{dropper} isn’t a number of drops in a volume.",
    "part_of_unit": "This isn’t a whole number of units. Make sure that they can be divided.",
    "part_of_drop": "This isn’t a whole number of drops.",
    "small_volume": "This is less than 0.1 mL. Check that it can be measured.",
}
AMOUNT = (Kind.MASS, Kind.ACTIVITY, Kind.VOLUME, Kind.SUBSTANCE, Kind.EQUIVALENTS)
EACH, DAILY = "each dose", "a day"
_MEANT = re.compile(r"(?P<dose>.+?) ?(?:/| per ) ?(?P<meant>dose|day|d|24 ?h(?:ours)?)")
HUNDRED_OF = {"% w/w": ("g", "g"), "% w/v": ("g", "mL"), "% v/v": ("mL", "mL")}
SMALL = Amount(Fraction(1, 10), "mL")
say = speaker(AREA)


def for_body(dose: Concentration, weight: Amount | None, surface: Amount | None) -> Working[Amount]:
    """Return a dose in mg/kg or mg/m2 for a body. Raises Refusal where weight or surface lacks."""
    part, _, whole = dose.unit.partition("/")
    if dose.unit in units.PERCENTS or units.dimension(whole) not in (units.MASS, Dimension.AREA):
        raise Refusal(say("per_what", dose=dose))
    body = weight if units.dimension(whole) is units.MASS else surface
    if body is None:
        by_weight = units.dimension(whole) is units.MASS
        raise Refusal(say("needs_weight" if by_weight else "needs_surface"))
    amount = convenient(Amount(dose.number * body.to(whole).number, part))
    return Working(amount, (say("step.dose", dose=dose, body=body, amount=amount),))


def dose_by_body(given: Given) -> Outcome:
    """Return each dose and the daily amount."""
    count = given.count("doses_per_day")
    dose, dose_is = meant(given, "dose", given.text("dose_is"))
    working = for_body(dose, *body_of(given))
    amount = working.result
    if dose_is == DAILY:
        each, daily = convenient(amount * Fraction(1, count)), amount
        said = say("step.shared", amount=daily, doses=count, each=each)
    else:
        each, daily = amount, convenient(amount * count)
        said = say("step.daily", each=each, doses=count, amount=daily)
    steps = (*working.steps, said, say("step.each", each=each))
    results = [Result("dose", each), Result("daily", daily)]
    findings = (*meaning_unsaid(given, "dose_is", "dose"), *weight_doubts(given))
    if given.has("maximum"):
        maximum = given.amount("maximum")
        results.append(Result("share_of_maximum", Number(each / maximum * 100, "%")))
        if each > maximum:
            said = say("over_maximum", dose=each, maximum=maximum)
            findings = (*findings, caution(said, "maximum"))
    return Outcome(tuple(results), steps, findings)


def meaning_unsaid(given: Given, choice: str, *names: str) -> tuple[Finding, ...]:
    """Return that a dose was taken as a single one, where neither it nor the choice says so."""
    open_ = any(given.is_strength(each) or given.is_amount(each) for each in names)
    return (caution(say("meaning_unsaid"), choice),) if choice in given.defaulted and open_ else ()


def meant(given: Given, name: str, otherwise: str) -> tuple[Concentration, str]:
    """Return the dose for each kg or m2, and whether it is one dose or a day's (40 mg/kg/day)."""
    if given.is_strength(name):
        return given.strength(name), otherwise
    typed = given.text(name)
    found = _MEANT.fullmatch(typed)
    try:
        strength = parse_concentration(found["dose"] if found else typed, ".")
    except BadText as error:
        raise BadText(error.message, field=name) from error
    dose = strength.as_percent() if isinstance(strength, OneIn) else strength
    if found is None or dose.number <= 0:
        raise Refusal(say("per_what", dose=dose))
    return dose, EACH if found["meant"].startswith("do") else DAILY


def body_of(given: Given) -> tuple[Amount | None, Amount | None]:
    """Return body weight and surface, where given; a bare surface is in m2."""
    weight = given.amount("body_weight") if given.has("body_weight") else None
    if not given.has("body_surface"):
        return weight, None
    if given.is_amount("body_surface"):
        return weight, given.amount("body_surface")
    return weight, Amount(given.number("body_surface"), "m2")


def amount_for(dose: Amount, strength: Concentration) -> Amount:
    """Return how much of a preparation holds a dose. Raises Refusal where they don't meet."""
    number, part, whole = _in_units(strength)
    if units.dimension(part) is not units.dimension(dose.unit) or not number:
        raise Refusal(say("not_comparable", dose=dose, strength=strength))
    return convenient(Amount(dose.to(part).number / number, whole))


def dose_in(taken: Amount, strength: Concentration) -> Amount:
    """Return the dose in an amount of a preparation. Raises Refusal where they don't meet."""
    number, part, whole = _in_units(strength)
    if units.dimension(whole) is not units.dimension(taken.unit):
        raise Refusal(say("not_comparable", dose=taken, strength=strength))
    return convenient(Amount(taken.to(whole).number * number, part))


def _in_units(strength: Concentration) -> tuple[Fraction, str, str]:
    """Return a strength as a number of the part's unit in one of the whole's."""
    if strength.unit in HUNDRED_OF:
        part, whole = HUNDRED_OF[strength.unit]
        return strength.number / 100, part, whole
    return strength.number, *units.split_concentration(strength.unit)


def volume_per_dose(given: Given) -> Outcome:
    """Return the amount of a preparation for a dose, or the dose in an amount; drops too."""
    name = given_one(given, ("single_dose", "volume"), say("one_of_two"))
    strength = given.strength("strength")
    have = given.amount(name)
    if name == "single_dose":
        take = amount_for(have, strength)
        main = Result("take", take)
        step = say("step.take", dose=have, strength=strength, take=take)
    else:
        take, dose = have, dose_in(have, strength)
        main = Result("dose", dose)
        step = say("step.held", take=take, strength=strength, dose=dose)
    if not given.has("dropper"):
        return Outcome((main,), (step,), _hard_to_measure(take))
    drops, said = _in_drops(given, take)
    counted = drops[0].value
    many = many_drops(counted.number, name) if isinstance(counted, Amount) else ()
    findings = (*_hard_to_measure(take), *_part_of_drop(drops[0]), *many)
    if name == "single_dose":
        return Outcome((*drops, main), (step, said), findings)
    return Outcome((main, *drops), (said, step), findings)


def _hard_to_measure(take: Amount) -> tuple[Finding, ...]:
    kind = units.dimension(take.unit)
    if kind is units.PIECES and take.number.denominator != 1:
        return (caution(say("part_of_unit"), "strength"),)
    if kind is units.VOLUME and take < SMALL:
        return (caution(say("small_volume"), "strength"),)
    return ()


def _part_of_drop(drops: Result) -> tuple[Finding, ...]:
    whole = isinstance(drops.value, Amount) and drops.value.number.denominator == 1
    return () if whole else (note(say("part_of_drop"), "dropper"),)


def _in_drops(given: Given, take: Amount) -> tuple[tuple[Result, ...], Message]:
    if units.dimension(take.unit) is not units.VOLUME:
        raise Refusal(say("drops_need_volume"))
    dropper = _dropper(given)
    drops = Amount(take.to("mL").number * dropper.number, "drop")
    results = (Result("drops", drops), Result("drops_per_mL", dropper))
    return results, say("step.drops", take=take, dropper=dropper, drops=drops)


def _dropper(given: Given) -> Concentration:
    """Return the drops in one mL; a bare number is such a one."""
    if not given.is_strength("dropper"):
        return Concentration(given.number("dropper"), "drop/mL")
    dropper = given.strength("dropper")
    part, _, whole = dropper.unit.partition("/")
    if part != "drop" or units.dimension(whole) is not units.VOLUME:
        raise Refusal(say("wrong_dropper", dropper=dropper))
    return Concentration(dropper.number * units.factor("mL", whole), "drop/mL")


BODY = (
    Input("body_weight", (Kind.MASS,), optional=True, units=("kg", "g")),
    Input("body_surface", (Kind.AREA, Kind.NUMBER), optional=True, units=("m2",)),
)
CALCULATIONS = (
    Calculation(
        "dose-by-body",
        AREA,
        (
            Input("dose", (Kind.STRENGTH, Kind.TEXT), units=("mg/kg", "mg/m2")),
            *BODY,
            Input(
                "doses_per_day",
                (Kind.COUNT,),
                default="1",
                most=Fraction(24),
                assumed=Severity.REASON,
            ),
            Input("dose_is", (Kind.CHOICE,), default=EACH, choices=(EACH, DAILY)),
            Input("maximum", AMOUNT, optional=True),
        ),
        dose_by_body,
        (("dose", "15 mg/m2"), ("body_surface", "0.74 m2")),
    ),
    Calculation(
        "volume-per-dose",
        AREA,
        (
            Input("strength", (Kind.STRENGTH,), units=("mg/mL", "mg/piece", "% w/v")),
            Input("single_dose", AMOUNT, optional=True),
            Input("volume", (Kind.VOLUME, Kind.MASS, Kind.PIECES), optional=True),
            Input("dropper", (Kind.STRENGTH, Kind.NUMBER), optional=True, units=("drop/mL",)),
        ),
        volume_per_dose,
        (("strength", "105 mg/5 mL"), ("single_dose", "200 mg")),
    ),
)
