"""Evaporated water: how much restores the weight, or how much to boil off for a strength."""

from __future__ import annotations

from fractions import Fraction

from formulary.calculating.describing import Calculation, Input, Kind, speaker
from formulary.calculating.outcome import Number, Outcome, Result, caution
from formulary.calculating.strengths import alike
from formulary.calculating.values import Given
from formulary.errors import Refusal
from formulary.messages import Message
from formulary.quantity.amount import Amount
from formulary.quantity.writing import convenient
from formulary.working import Working

AREA = "evaporation"
TEXTS = {
    "input": {
        "should_weigh": "Weight that the preparation should have, without the vessel",
        "weighs": "What the balance shows now",
        "tare": "Tare of the vessel with what stays in it",
        "losses": "Losses on record other than water",
        "water_in_formula": "Water in the formula",
        "start": "Mass at the start",
        "strength": "Strength at the start",
        "wanted": "Strength wanted",
    },
    "result": {
        "water": "Water to add",
        "net": "Preparation in the vessel",
        "target_reading": "The balance shows, when it is right again",
        "share": "Share lost",
        "to_evaporate": "To evaporate",
        "left": "What is left",
    },
    "evaporated_water": {
        "title": "Evaporated water to replace",
        "words": "loss on heating, make up to weight, boil, replace water, q.s.",
        "about": "How much water brings a preparation back to its weight after heating.",
        "source": "What should be there, less recorded losses, less what is there.",
        "limits": "Only where nothing but water can have evaporated.",
        "caution": "Ethanol and other volatile substances can’t be put back as water. Weigh with "
        "the same vessel, rod and stirrer in it as were tared.",
    },
    "evaporating_to_a_strength": {
        "title": "Evaporating to a strength",
        "words": "concentrate, reduce, boil down, syrup, extract, percent",
        "about": "How much a weaker liquid must lose to reach a strength by weight.",
        "source": "Conservation of the dissolved mass: m1 x c1 = m2 x c2.",
        "limits": "Strengths of one kind, by weight; only the solvent evaporates.",
        "caution": "Heat may harm what stays behind.",
    },
    "step": {
        "net": "{weighs} − {tare} = {net} of the preparation",
        "expected": "{should_weigh} − {losses} = {expected} should be there",
        "water": "{expected} − {net} = {water} of water to add",
        "reading": "The balance must show {reading}",
        "left": "{start} x {strength} / {wanted} = {left}",
        "to_evaporate": "{start} − {left} = {to_evaporate} to evaporate",
    },
    "tare_too_large": "The tare can’t be more than what the balance shows.",
    "losses_too_large": "The losses on record are more than the whole preparation.",
    "too_heavy": "The preparation weighs {excess} more than it should. Water can’t mend that: "
    "check tare, weighings and losses.",
    "more_than_its_water": "{water} is missing, but the formula holds only {held} of water. "
    "Something else was lost.",
    "much": "More than a tenth is missing. Make sure that it was water.",
    "not_by_weight": "Give both strengths by weight, in % w/w.",
    "not_stronger": "The strength wanted must be above that at the start.",
}
MUCH = Fraction(1, 10)
say = speaker(AREA)


def water_to_restore(
    expected: Amount, net: Amount, water_in_formula: Amount | None = None
) -> Working[Amount]:
    """Return the water that brings ``net`` back to what is expected, losses already taken off.

    Raises :class:`formulary.errors.Refusal` if there is too much, or if more is missing than the
    formula holds of water.
    """
    if net > expected:
        raise Refusal(say("too_heavy", excess=convenient(net - expected)))
    water = convenient(expected - net)
    if water_in_formula is not None and water > water_in_formula:
        raise Refusal(say("more_than_its_water", water=water, held=water_in_formula))
    step = say("step.water", expected=expected, net=net, water=water)
    return Working(water, (step,), say("evaporated_water.source"))


def evaporated(given: Given) -> Outcome:
    """Return the water to add, and what the balance must show then."""
    net, first = _net(given)
    expected, second = _expected(given)
    held = given.amount("water_in_formula") if given.has("water_in_formula") else None
    working = water_to_restore(expected, net, held)
    reading = given.amount("weighs") + working.result
    share = working.result / expected
    results = (
        Result("water", working.result),
        Result("target_reading", reading),
        Result("net", net),
        Result("share", Number(share * 100, "%")),
    )
    steps = (*first, *second, say("step.reading", reading=reading), *working.steps)
    findings = (caution(say("much"), "weighs"),) if share > MUCH else ()
    return Outcome(results, steps, findings)


def _net(given: Given) -> tuple[Amount, tuple[Message, ...]]:
    weighs = given.amount("weighs")
    if not given.has("tare"):
        return weighs, ()
    tare = given.amount("tare")
    if tare > weighs:
        raise Refusal(say("tare_too_large"))
    net = weighs - tare
    return net, (say("step.net", weighs=weighs, tare=tare, net=net),)


def _expected(given: Given) -> tuple[Amount, tuple[Message, ...]]:
    should = given.amount("should_weigh")
    if not given.has("losses"):
        return should, ()
    losses = given.amount("losses")
    if losses >= should:
        raise Refusal(say("losses_too_large"))
    expected = should - losses
    return expected, (say("step.expected", should_weigh=should, losses=losses, expected=expected),)


def evaporate_to(given: Given) -> Outcome:
    """Return what must evaporate for a strength, and what is left."""
    (weak, strong), kind = alike(given, "strength", "wanted")
    if kind not in ("", "w/w"):
        raise Refusal(say("not_by_weight"))
    if strong <= weak:
        raise Refusal(say("not_stronger"))
    start = given.amount("start")
    left = convenient(start * (weak / strong))
    off = convenient(start - left)
    return Outcome(
        (Result("to_evaporate", off), Result("left", left)),
        (
            say("step.left", start=start, strength=weak, wanted=strong, left=left),
            say("step.to_evaporate", start=start, left=left, to_evaporate=off),
        ),
    )


MASS = (Kind.MASS,)
STRENGTH = (Kind.STRENGTH, Kind.PERCENT)
CALCULATIONS = (
    Calculation(
        "evaporated-water",
        AREA,
        (
            Input("should_weigh", MASS),
            Input("weighs", MASS),
            Input("tare", MASS, optional=True),
            Input("losses", MASS, optional=True, positive=False, least=Fraction(0)),
            Input("water_in_formula", MASS, optional=True),
        ),
        evaporated,
        (("should_weigh", "100 g"), ("weighs", "246.3 g"), ("tare", "150 g")),
    ),
    Calculation(
        "evaporating-to-a-strength",
        AREA,
        (Input("start", MASS), Input("strength", STRENGTH), Input("wanted", STRENGTH)),
        evaporate_to,
        (("start", "200 g"), ("strength", "5 % w/w"), ("wanted", "8 % w/w")),
    ),
)
