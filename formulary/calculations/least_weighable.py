"""The least that a balance may weigh, by its sensitivity, its repeatability or its readability."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from formulary.calculating.choosing import numbered
from formulary.calculating.describing import Calculation, Input, Kind, speaker
from formulary.calculating.numeric import square_root
from formulary.calculating.outcome import Number, Outcome, Result, caution, note
from formulary.calculating.values import Given
from formulary.errors import Refusal
from formulary.finding import Finding, Severity
from formulary.messages import Message
from formulary.quantity.amount import Amount
from formulary.quantity.rounding import round_to_significant
from formulary.quantity.writing import convenient
from formulary.working import Working

AREA = "least_weighable"
LEAST_READINGS = 10
FLOOR = Fraction("0.41")
"""The least standard deviation in steps of readability that USP <41> lets one reckon with."""
TEXTS = {
    "input": {
        "sensitivity": "Sensitivity of the balance",
        "permitted_error": "Permitted error in per cent",
        "weights": "Weights to judge",
        "readability": "Readability (one step of the display)",
        "standard_deviation": "Standard deviation of repeated weighings",
        "readings": "The repeated weighings themselves, at least 10",
        "weight": "Smallest net weight to be weighed",
        "minimum": "Minimum load stated by the maker",
    },
    "result": {
        "least_weighable": "Least weighable quantity",
        "error": "Error in per cent",
        "sensitivity": "Sensitivity needed",
        "minimum_weight": "Minimum weight",
        "s_used": "Standard deviation used",
        "standard_deviation": "Standard deviation of the weighings",
        "weighable": "Weight is at or above the minimum",
    },
    "least_weighable_quantity": {
        "title": "Least weighable quantity by sensitivity",
        "words": "LWQ, MWQ, minimum weighable, sensitivity requirement, balance error, "
        "prescription balance, percent of error",
        "about": "The least quantity for a permitted error, or the error of a weight.",
        "source": "100 x sensitivity / permitted per cent: US Army MD0802; a class III balance "
        "of 6 mg weighs 120 mg at 5 %.",
        "limits": "For balances whose sensitivity is known; below it, an aliquot is weighed.",
        "caution": "The error of a weighing is one part of the whole error of a preparation.",
    },
    "minimum_weight_by_repeatability": {
        "title": "Minimum weight by repeatability",
        "words": "MWQ, minimum weight, USP 41, balance, standard deviation",
        "about": "The least net weight from the standard deviation of repeated weighings.",
        "source": "USP <41> (2019), as summarised publicly: 2 x s / weight at most 0.10 %; "
        "s of at least 0.41 steps of readability.",
        "limits": "At least 10 weighings on the balance where it stands.",
        "caution": "The minimum is for the net weight; a heavier vessel doesn’t lift it.",
    },
    "minimum_weight_by_readability": {
        "title": "Minimum weight by readability",
        "words": "MWQ, minimum weight, balance, scale interval, d",
        "about": "The least net weight for an error of one step of the display.",
        "source": "100 x readability / permitted per cent; 100 steps for 1 % (German pharmacy "
        "press).",
        "limits": "Never below the minimum load that the maker states.",
        "caution": "Each addition counts on its own; repeatability may ask for more.",
    },
    "step": {
        "least": "100 x {sensitivity} / {permitted_error} % = {least_weighable}",
        "error": "100 x {sensitivity} / {weight} = {error} %",
        "sensitivity": "{weight} x {permitted_error} / 100 = {sensitivity}",
        "readings": "Standard deviation of {n} weighings: {standard_deviation}",
        "floor": "0.41 x {readability} = {floor}",
        "s_used": "The larger is used: {s_used}",
        "s_alone": "No standard deviation given: {s_used} is the least that may be used",
        "factor": "2 x 100 / {permitted_error} = {factor}",
        "minimum_weight": "{factor} x {s_used} = {minimum_weight}",
        "by_readability": "100 x {readability} / {permitted_error} % = {minimum_weight}",
        "maker": "The maker’s minimum load of {minimum} is higher and stands",
    },
    "sensitivity_or_weights": "Give the sensitivity, or one weight to find the sensitivity for.",
    "deviation_or_readings": "Give the standard deviation or the weighings, not both.",
    "nothing_known": "Give the readability, the standard deviation or the weighings.",
    "few_readings": "At least {least} weighings are needed; there are {n}.",
    "under_least": "{weight} is under {least}: take an aliquot or a trituration.",
    "starting_point": "Without repeated weighings this is the lowest minimum possible, not the "
    "balance’s own.",
}
say = speaker(AREA)


def least_weighable(sensitivity: Amount, permitted_error: Fraction) -> Working[Amount]:
    """Return the least quantity whose error is the permitted per cent: 100 x S / %."""
    found = convenient(sensitivity * (100 / permitted_error))
    said = {"sensitivity": sensitivity, "permitted_error": permitted_error}
    return Working(found, (say("step.least", least_weighable=found, **said),))


def by_readability(
    readability: Amount, permitted_error: Fraction, minimum: Amount | None = None
) -> Working[Amount]:
    """Return 100 x d / %, or the maker's minimum load where that is higher."""
    found = convenient(readability * (100 / permitted_error))
    said = {"readability": readability, "permitted_error": permitted_error}
    step = say("step.by_readability", minimum_weight=found, **said)
    if minimum is None or minimum <= found:
        return Working(found, (step,))
    return Working(minimum, (step, say("step.maker", minimum=minimum)))


def by_sensitivity(given: Given) -> Outcome:
    """Return least weighable quantity and errors, or the sensitivity that a weight needs."""
    permitted = given.number("permitted_error")
    weights = given.amounts("weights") if given.has("weights") else ()
    if not given.has("sensitivity"):
        return _sensitivity(weights, permitted)
    sensitivity = given.amount("sensitivity")
    working = least_weighable(sensitivity, permitted)
    errors = [100 * (sensitivity / weight) for weight in weights]
    steps = [
        say("step.error", sensitivity=sensitivity, weight=weight, error=error)
        for weight, error in zip(weights, errors, strict=True)
    ]
    under = tuple(_under(each, working.result) for each in weights if each < working.result)
    results = (
        Result("least_weighable", working.result),
        *numbered("error", (Number(each, "%") for each in errors)),
    )
    return Outcome(results, (*steps, *working.steps), under)


def _under(weight: Amount, least: Amount) -> Finding:
    return caution(say("under_least", weight=weight, least=least), "weights")


def _sensitivity(weights: Sequence[Amount], permitted: Fraction) -> Outcome:
    if len(weights) != 1:
        raise Refusal(say("sensitivity_or_weights"))
    found = convenient(weights[0] * (permitted / 100))
    said = {"weight": weights[0], "permitted_error": permitted, "sensitivity": found}
    return Outcome((Result("sensitivity", found),), (say("step.sensitivity", **said),))


def by_repeatability(given: Given) -> Outcome:
    """Return the minimum weight from the standard deviation, of 0.41 steps at least."""
    permitted = given.number("permitted_error")
    steps: list[Message] = []
    measured = _measured(given, steps)
    used = _used(given, measured, steps)
    factor = 200 / permitted
    minimum = convenient(used * factor)
    steps.append(say("step.factor", permitted_error=permitted, factor=factor))
    steps.append(say("step.minimum_weight", factor=factor, s_used=used, minimum_weight=minimum))
    results = [Result("minimum_weight", minimum), Result("s_used", used)]
    if given.has("readings") and measured is not None:
        results.append(Result("standard_deviation", measured))
    findings = () if measured else (note(say("starting_point"), "standard_deviation"),)
    return _judged(given, minimum, results, steps, findings)


def _measured(given: Given, steps: list[Message]) -> Amount | None:
    if given.has("readings") and given.has("standard_deviation"):
        raise Refusal(say("deviation_or_readings"))
    if given.has("standard_deviation"):
        return given.amount("standard_deviation")
    if not given.has("readings"):
        return None
    readings = given.amounts("readings")
    if len(readings) < LEAST_READINGS:
        raise Refusal(say("few_readings", least=LEAST_READINGS, n=len(readings)))
    found = standard_deviation(readings)
    shown = Amount(round_to_significant(found.number), found.unit)
    steps.append(say("step.readings", n=len(readings), standard_deviation=shown))
    return found


def standard_deviation(readings: Sequence[Amount]) -> Amount:
    """Return the sample standard deviation.

    The variance is exact; its root is right to 15 significant digits, as in the numeric module.
    """
    unit = readings[0].unit
    numbers = [each.to(unit).number for each in readings]
    mean = sum(numbers, Fraction(0)) / len(numbers)
    variance = sum(((each - mean) ** 2 for each in numbers), Fraction(0)) / (len(numbers) - 1)
    return convenient(Amount(square_root(variance), unit))


def _used(given: Given, measured: Amount | None, steps: list[Message]) -> Amount:
    if not given.has("readability"):
        if measured is None:
            raise Refusal(say("nothing_known"))
        return measured
    readability = given.amount("readability")
    floor = convenient(readability * FLOOR)
    steps.append(say("step.floor", readability=readability, floor=floor))
    used = floor if measured is None else max(floor, measured)
    steps.append(say("step.s_alone" if measured is None else "step.s_used", s_used=used))
    return used


def _judged(
    given: Given,
    minimum: Amount,
    results: list[Result],
    steps: Sequence[Message],
    findings: tuple[Finding, ...] = (),
) -> Outcome:
    """Add whether the weight may be weighed, if one was given."""
    if given.has("weight"):
        weight = given.amount("weight")
        results.append(Result("weighable", weight >= minimum))
        if weight < minimum:
            findings += (caution(say("under_least", weight=weight, least=minimum), "weight"),)
    return Outcome(tuple(results), tuple(steps), findings)


def by_readability_given(given: Given) -> Outcome:
    """Return the minimum weight by readability."""
    minimum = given.amount("minimum") if given.has("minimum") else None
    working = by_readability(given.amount("readability"), given.number("permitted_error"), minimum)
    return _judged(given, working.result, [Result("minimum_weight", working.result)], working.steps)


MASS = (Kind.MASS,)
_WEIGHT = Input("weight", MASS, optional=True)


def _permitted(default: str) -> Input:
    return Input(
        "permitted_error",
        (Kind.PERCENT,),
        default=default,
        most=Fraction(100),
        assumed=Severity.NOTE,
    )


CALCULATIONS = (
    Calculation(
        "least-weighable-quantity",
        AREA,
        (
            Input("sensitivity", MASS, optional=True),
            _permitted("5"),
            Input("weights", MASS, many=True, optional=True),
        ),
        by_sensitivity,
        (("sensitivity", "6 mg"), ("permitted_error", "5")),
    ),
    Calculation(
        "minimum-weight-by-repeatability",
        AREA,
        (
            Input("readability", MASS, optional=True),
            Input("standard_deviation", MASS, optional=True),
            Input("readings", MASS, many=True, optional=True),
            _permitted("0.1"),
            _WEIGHT,
        ),
        by_repeatability,
        (("readability", "0.1 mg"), ("standard_deviation", "0.03 mg")),
    ),
    Calculation(
        "minimum-weight-by-readability",
        AREA,
        (
            Input("readability", MASS),
            _permitted("1"),
            Input("minimum", MASS, optional=True),
            _WEIGHT,
        ),
        by_readability_given,
        (("readability", "0.01 g"),),
    ),
)
