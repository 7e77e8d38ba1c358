"""Uniformity of mass from twenty weights, the house's rule for fewer, and content limits."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from formulary.calculating.describing import Calculation, Input, Kind, speaker
from formulary.calculating.outcome import Number, Outcome, Result, caution, note
from formulary.calculating.strengths import plain
from formulary.calculating.tables import table
from formulary.calculating.values import Given
from formulary.errors import Refusal
from formulary.finding import Finding, Severity
from formulary.messages import Message, message
from formulary.quantity.amount import Amount, Concentration, OneIn
from formulary.working import Working

AREA = "uniformity"
TEXTS = {
    "input": {
        "weights": "Weights of the single units",
        "unit": "Unit of weights typed without one",
        "form": "Dosage form",
        "limit": "Limit, if it isn’t that of the form",
        "allowed": "Units that may lie outside the limit",
        "label": "Content on the label, or theoretical weight",
        "found": "Contents or weights found",
        "low": "Least allowed",
        "high": "Most allowed",
    },
    "result": {
        "complies": "Complies",
        "mean": "Mean",
        "limit": "Limit",
        "low_limit": "Low limit",
        "high_limit": "High limit",
        "outside_limit": "Units outside the limit",
        "outside_twice_limit": "Units outside twice the limit",
        "outside": "Outside the limits",
        "largest_deviation": "Largest deviation",
        "lowest": "Lowest",
        "highest": "Highest",
    },
    "uniformity_of_mass": {
        "title": "Uniformity of mass from twenty units",
        "words": "weight variation, uniformity of weight, Ph. Eur. 2.9.5, twenty tablets, "
        "capsules, suppository, quality control",
        "about": "Judges twenty single weights by the limits of the European Pharmacopoeia.",
        "source": "European Pharmacopoeia 2.9.5: not more than 2 of 20 deviate from the mean by "
        "more than the limit, none by more than twice the limit.",
        "limits": "Exactly twenty units, taken at random. For capsules the mass of the contents.",
        "caution": "Equal masses don’t prove an even mixture, least of all below 2 mg or 2 % of "
        "active substance.",
    },
    "uniformity_of_a_small_batch": {
        "title": "Uniformity of mass of a small batch, by the house’s rule",
        "words": "weight variation, uniformity of weight, few units, suppository, capsules, "
        "quality control",
        "about": "Judges fewer than twenty weights by the house’s own rule.",
        "source": "The house’s rule, not the pharmacopoeia’s: the limit of the form around the "
        "mean, with as many units outside as the house allows (none unless it says so), and none "
        "outside twice the limit.",
        "limits": "From 3 to 19 units.",
        "caution": "Few weights say little. The house answers for this rule.",
    },
    "content_limits": {
        "title": "Content limits",
        "words": "assay, label claim, percent of label, 90 to 110, potency, USP 795, quality "
        "control",
        "about": "Compares contents or weights with limits in per cent of what is declared.",
        "source": "90 to 110 % is the usual limit of United States compounding practice (USP <795> "
        "as quoted by the University of North Carolina); a monograph’s own limits come first.",
        "limits": "Each value found is judged for itself; the limits themselves are inside.",
        "caution": "A weight inside its limits is no assay.",
    },
    "step": {
        "which": "Outside the limit: {outside}",
        "place": "number {place} ({value})",
        "percent": "{percent} %",
        "mean": "Sum of {count} weights {total} / {count} = mean {mean}",
        "limit": "Limit for {form} of this mean: {limit} %",
        "own_limit": "Limit as typed: {limit} %",
        "range": "{mean} ± {limit} %: {low} to {high}",
        "counted": "{outside} outside the limit, {twice} outside twice the limit ({low} to {high})",
        "passes": "Complies: at most {allowed} outside, none outside twice the limit",
        "fails": "Doesn’t comply: more than {allowed} outside, or one outside twice the limit",
        "content": "{low} % and {high} % of {label}: {low_limit} to {high_limit}",
        "content_percent": "Limits: {low} % to {high} %",
        "inside": "Complies: all {count} are inside",
        "outside": "Doesn’t comply: {outside} of {count} outside",
    },
    "twenty_needed": "The pharmacopoeia’s test takes exactly 20 weights; {count} were given. For "
    "fewer there is the house’s rule.",
    "too_few": "The house’s rule needs at least 3 weights; {count} were given.",
    "enough_for_twenty": "With {count} weights the pharmacopoeia’s test is done, on twenty.",
    "no_limit": "The table has no limit for {form} with a mean of {mean}. The pharmacopoeia asks "
    "for a test of content there.",
    "house_rule": "This is the house’s rule, not the pharmacopoeia’s.",
    "own_limit": "The limit was typed; it isn’t that of the form.",
    "not_comparable": "{found} can’t be compared with {label}.",
    "label_missing": "Values that aren’t per cent need what is declared on the label.",
    "unit_missing": "With a label given, each value found needs its unit. Values that already are "
    "per cent of the label need no label.",
    "limits_swapped": "The least allowed must be below the most allowed.",
}
TABLE = "tolerances"
TWENTY, ALLOWED = 20, 2
FEWEST = 3
FORMS = (
    "capsules, powders, granules",
    "suppositories and pessaries",
    "tablets",
    "powders for parenteral use",
)
say = speaker(AREA)


@dataclass(frozen=True, slots=True)
class Uniformity:
    """Single weights around their mean: how many lie outside a limit and outside twice it."""

    mean: Amount
    limit: Fraction
    outside: int
    outside_twice: int
    largest: Fraction
    """The largest deviation from the mean, in per cent."""

    def complies(self, allowed: int) -> bool:
        """Whether no more than so many lie outside, and none outside twice the limit."""
        return self.outside <= allowed and not self.outside_twice

    def end(self, times: int) -> Amount:
        """Return the mean times (1 + so many limits); negative for the low end."""
        return self.mean * (1 + self.limit * times / 100)


def mean_of(weights: tuple[Amount, ...]) -> Amount:
    """Return the mean in the unit of the first."""
    total = sum((each.to(weights[0].unit).number for each in weights), Fraction(0))
    return Amount(total / len(weights), weights[0].unit)


def limit_for(form: str, mean: Amount) -> Fraction:
    """Return the limit in per cent of a form with this mean. Raises Refusal where there is none."""
    milligrams = mean.to("mg").number
    for row in table(TABLE):
        if row.get("uniformity") == form and _covers(row, milligrams):
            return Fraction(row["limit_percent"])
    raise Refusal(say("no_limit", form=form, mean=mean))


def _covers(row: Mapping[str, Any], mean: Fraction) -> bool:
    return (
        ("mean_most" not in row or mean <= Fraction(row["mean_most"]))
        and ("mean_below" not in row or mean < Fraction(row["mean_below"]))
        and ("mean_least" not in row or mean >= Fraction(row["mean_least"]))
        and ("mean_over" not in row or mean > Fraction(row["mean_over"]))
    )


def judge(weights: tuple[Amount, ...], limit: Fraction) -> Uniformity:
    """Return how single weights lie around their mean; a weight on the limit is inside."""
    mean = mean_of(weights)
    deviations = [abs(each / mean - 1) * 100 for each in weights]
    return Uniformity(
        mean,
        limit,
        sum(each > limit for each in deviations),
        sum(each > 2 * limit for each in deviations),
        max(deviations),
    )


def of_twenty(given: Given) -> Outcome:
    """Return the verdict of the pharmacopoeia's test on twenty weights."""
    weights = weights_in(given, "weights")
    if len(weights) != TWENTY:
        raise Refusal(say("twenty_needed", count=len(weights)))
    return _verdict(given, weights, ALLOWED)


def of_few(given: Given) -> Outcome:
    """Return the verdict of the house's rule on fewer weights, named as the house's."""
    weights = weights_in(given, "weights")
    if len(weights) < FEWEST:
        raise Refusal(say("too_few", count=len(weights)))
    if len(weights) >= TWENTY:
        raise Refusal(say("enough_for_twenty", count=len(weights)))
    outcome = _verdict(given, weights, given.count("allowed"))
    findings = (caution(say("house_rule")), *outcome.findings)
    return Outcome(outcome.results, outcome.steps, findings)


def weights_in(given: Given, name: str) -> tuple[Amount, ...]:
    """Return a list of weights, those typed without a unit in the unit chosen."""
    unit = given.text("unit")
    return tuple(
        Amount(each, unit) if isinstance(each, Fraction) else each for each in given.values[name]
    )


def unit_unsaid(given: Given, *names: str) -> tuple[Finding, ...]:
    """Return that weights were typed without a unit, and which one they were taken in."""
    bare = any(isinstance(each, Fraction) for name in names for each in given.values[name])
    if not bare or "unit" not in given.defaulted:
        return ()
    return (note(message("calculating.unit_unsaid", unit=given.text("unit")), "unit"),)


def _verdict(given: Given, weights: tuple[Amount, ...], allowed: int) -> Outcome:
    limit = _limit(given, mean_of(weights))
    found = judge(weights, limit.result)
    complies = found.complies(allowed)
    results = (
        Result("complies", complies),
        Result("mean", found.mean),
        Result("limit", Number(found.limit, "%")),
        Result("low_limit", found.end(-1)),
        Result("high_limit", found.end(1)),
        Result("outside_limit", Number(Fraction(found.outside))),
        Result("outside_twice_limit", Number(Fraction(found.outside_twice))),
        Result("largest_deviation", Number(found.largest, "%")),
    )
    steps = (
        mean_step(weights),
        *limit.steps,
        *_range_steps(found),
        *_which(weights, found),
        say("step.passes" if complies else "step.fails", allowed=allowed),
    )
    own = (note(say("own_limit"), "limit"),) if given.has("limit") else ()
    findings = (*own, *unit_unsaid(given, "weights"))
    return Outcome(results, steps, findings)


def mean_step(weights: tuple[Amount, ...]) -> Message:
    """Return the step from single weights to their mean."""
    mean = mean_of(weights)
    return say("step.mean", count=len(weights), total=mean * len(weights), mean=mean)


def _limit(given: Given, mean: Amount) -> Working[Fraction]:
    if given.has("limit"):
        limit = given.number("limit")
        return Working(limit, (say("step.own_limit", limit=limit),))
    form = given.text("form")
    limit = limit_for(form, mean)
    return Working(limit, (say("step.limit", form=form, limit=limit),))


def _range_steps(found: Uniformity) -> tuple[Message, ...]:
    said = {"mean": found.mean, "limit": found.limit}
    return (
        say("step.range", low=found.end(-1), high=found.end(1), **said),
        say(
            "step.counted",
            outside=found.outside,
            twice=found.outside_twice,
            low=found.end(-2),
            high=found.end(2),
        ),
    )


def _which(weights: tuple[Amount, ...], found: Uniformity) -> tuple[Message, ...]:
    """Return the step that names the weights outside the limit, by their places."""
    low, high = found.end(-1), found.end(1)
    outside = tuple(
        say("step.place", place=place, value=each)
        for place, each in enumerate(weights, 1)
        if not low <= each <= high
    )
    return (say("step.which", outside=outside),) if outside else ()


def content_limits(given: Given) -> Outcome:
    """Return which contents or weights lie outside per cent limits of what is declared."""
    low, high = given.number("low"), given.number("high")
    if low >= high:
        raise Refusal(say("limits_swapped"))
    label = given.values.get("label")
    shares = tuple(_share(each, label) for each in given.values["found"])
    outside = sum(not low <= each <= high for each in shares)
    results, step = _ends(label, low, high)
    which = tuple(
        say("step.place", place=place, value=say("step.percent", percent=each))
        for place, each in enumerate(shares, 1)
        if not low <= each <= high
    )
    named = (say("step.which", outside=which),) if which else ()
    counted = {"outside": outside, "count": len(shares)}
    said = say("step.outside", **counted) if outside else say("step.inside", count=len(shares))
    return Outcome(
        (
            Result("complies", not outside),
            *results,
            Result("outside", Number(Fraction(outside))),
            Result("lowest", Number(min(shares), "%")),
            Result("highest", Number(max(shares), "%")),
        ),
        (step, *named, said),
    )


def _share(found: object, label: object) -> Fraction:
    """Return a value as per cent of the label. Raises Refusal where they can't be compared."""
    if isinstance(found, Fraction):
        if label is not None:
            raise Refusal(say("unit_missing"))
        return found
    if label is None:
        raise Refusal(say("label_missing"))
    if isinstance(found, Amount) and isinstance(label, Amount):
        return found / label * 100
    if isinstance(found, Concentration | OneIn) and isinstance(label, Concentration | OneIn):
        mine, declared = plain(found), plain(label)
        if mine.kind == declared.kind:
            return mine.per_hundred / declared.per_hundred * 100
    raise Refusal(say("not_comparable", found=_as_said(found), label=_as_said(label)))


def _as_said(value: object) -> Amount | Concentration | OneIn | str:
    return value if isinstance(value, Amount | Concentration | OneIn) else str(value)


def _ends(label: object, low: Fraction, high: Fraction) -> tuple[tuple[Result, ...], Message]:
    """Return the limits in the label's own unit, or in per cent without one."""
    ends: tuple[Amount | Concentration | Number, ...]
    if isinstance(label, Amount):
        ends = (label * (low / 100), label * (high / 100))
    elif isinstance(label, Concentration | OneIn):
        whole = label.as_percent() if isinstance(label, OneIn) else label
        ends = tuple(Concentration(whole.number * each / 100, whole.unit) for each in (low, high))
    else:
        results = (Result("low_limit", Number(low, "%")), Result("high_limit", Number(high, "%")))
        return results, say("step.content_percent", low=low, high=high)
    first, second = ends
    said = {"label": _as_said(label), "low_limit": first, "high_limit": second}
    return (
        (Result("low_limit", first), Result("high_limit", second)),
        say("step.content", low=low, high=high, **said),
    )


WEIGHTS = (
    Input("weights", (Kind.MASS, Kind.NUMBER), many=True, units=("mg", "g")),
    Input("unit", (Kind.CHOICE,), default="mg", choices=("mg", "g")),
    Input("form", (Kind.CHOICE,), choices=FORMS),
    Input("limit", (Kind.PERCENT,), optional=True, most=Fraction(50)),
)
DECLARED = (Kind.MASS, Kind.ACTIVITY, Kind.VOLUME, Kind.STRENGTH)
PERCENT = (Kind.PERCENT,)
CALCULATIONS = (
    Calculation(
        "uniformity-of-mass",
        AREA,
        WEIGHTS,
        of_twenty,
        (
            ("weights", "; ".join(["250 mg"] * 17 + ["276 mg", "224 mg", "277 mg"])),
            ("form", FORMS[0]),
        ),
    ),
    Calculation(
        "uniformity-of-a-small-batch",
        AREA,
        (
            *WEIGHTS,
            Input("allowed", (Kind.COUNT,), default="0", positive=False, most=Fraction(2)),
        ),
        of_few,
        (("weights", "2.01 g; 1.98 g; 2.00 g; 2.05 g"), ("form", FORMS[1])),
    ),
    Calculation(
        "content-limits",
        AREA,
        (
            Input("label", DECLARED, optional=True),
            Input("found", (*DECLARED, Kind.PERCENT), many=True),
            Input("low", PERCENT, default="90 %", assumed=Severity.NOTE),
            Input("high", PERCENT, default="110 %", most=Fraction(500), assumed=Severity.NOTE),
        ),
        content_limits,
        (("label", "400 mg"), ("found", "365 mg; 402 mg; 431 mg")),
    ),
)
