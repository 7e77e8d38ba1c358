"""Hydrophilic-lipophilic balance: blends of emulsifiers, and what an oil phase requires."""

from __future__ import annotations

from fractions import Fraction

from formulary.calculating.choosing import given_one, numbered
from formulary.calculating.describing import Calculation, Input, Kind, speaker
from formulary.calculating.lists import (
    names_in_table,
    only_row,
    require_equal_lengths,
    row_findings,
)
from formulary.calculating.outcome import Number, Outcome, Result
from formulary.calculating.values import Given
from formulary.errors import Refusal
from formulary.finding import Finding
from formulary.messages import Message
from formulary.quantity.amount import Amount
from formulary.quantity.writing import convenient
from formulary.working import Working

AREA = "hlb"
TEXTS = {
    "input": {
        "amounts": "Amounts, by mass or in parts",
        "hlbs": "Their HLB",
        "required_hlbs": "Their required HLB",
        "substances": "Substances as named in the table",
        "high_hlb": "HLB of the more hydrophilic emulsifier",
        "low_hlb": "HLB of the more lipophilic emulsifier",
        "required_hlb": "HLB wanted",
        "emulsifier": "Emulsifiers in all",
    },
    "result": {
        "hlb": "HLB of the blend",
        "required_hlb": "Required HLB",
        "total": "In all",
        "share": "Share",
        "high_percent": "More hydrophilic emulsifier",
        "low_percent": "More lipophilic emulsifier",
        "high": "More hydrophilic emulsifier to weigh",
        "low": "More lipophilic emulsifier to weigh",
    },
    "hlb_of_a_blend": {
        "title": "HLB of a blend of emulsifiers",
        "words": "emulsifier, surfactant, emulgent, Tween, Span, polysorbate, Griffin, emulsion",
        "about": "The HLB of any number of emulsifiers mixed by mass.",
        "source": "Griffin: HLB of a blend = sum of mass fraction x HLB.",
        "limits": "Non-ionic emulsifiers.",
        "caution": "HLB guides a choice; only a trial shows that the emulsion is stable.",
    },
    "required_hlb": {
        "title": "Required HLB of an oil phase",
        "words": "RHLB, oil phase, emulsion, cream, Griffin",
        "about": "The HLB that a mixed oil phase requires of its emulsifiers.",
        "source": "Griffin: required HLB = sum of mass fraction of the oil phase x required HLB.",
        "limits": "For one type of emulsion (oil in water, or water in oil); only the oil phase "
        "counts.",
        "caution": "HLB guides a choice; only a trial shows that the emulsion is stable.",
    },
    "emulsifier_ratio": {
        "title": "Two emulsifiers for a wanted HLB",
        "words": "HLB, surfactant, emulgent, blend, Tween, Span, emulsion, alligation",
        "about": "In which ratio two emulsifiers give the HLB wanted.",
        "source": "Griffin: high share = (wanted − low) / (high − low).",
        "limits": "The HLB wanted lies between those of the two emulsifiers.",
        "caution": "HLB guides a choice; only a trial shows that the emulsion is stable.",
    },
    "step": {
        "total": "Sum of the amounts: {total}",
        "part": "{place}: {amount} x {hlb} = {product}",
        "mean": "{sum} / {total} = {hlb}",
        "high": "({wanted} − {low}) / ({high} − {low}) = {percent} % of the more hydrophilic one",
        "low": "100 % − {high} % = {percent} % of the more lipophilic one",
        "weigh": "{emulsifier} x {percent} % = {mass}",
        "ratio": "{high} % and {low} % give an HLB of {wanted}",
    },
    "one_way": "Give the HLB in one way: as numbers or by names from the table.",
    "mixed": "Give all amounts by mass, or all in parts or per cent.",
    "high_not_above": "The HLB of the more hydrophilic emulsifier must be above the other.",
    "outside": "These two emulsifiers give HLB values from {low} to {high} only.",
}
say = speaker(AREA)
WHOLE = 100
MOST_HLB = Fraction(40)
EMULSIFIER, OIL = "emulsifier HLB", "required HLB, oil in water"


def weighted_mean(
    amounts: tuple[Fraction, ...], hlbs: tuple[Fraction, ...], unit: str = ""
) -> Working[Fraction]:
    """Return the mean HLB by mass; ``unit`` is that of the amounts, or none for parts."""
    products = [amount * hlb for amount, hlb in zip(amounts, hlbs, strict=True)]
    total, summed = sum(amounts, Fraction(0)), sum(products, Fraction(0))
    rows = enumerate(zip(amounts, hlbs, products, strict=True), 1)
    parts = (
        say("step.part", place=i, amount=_with(a, unit), hlb=h, product=_with(p, unit))
        for i, (a, h, p) in rows
    )
    found, whole = summed / total, _with(total, unit)
    last = say("step.mean", sum=_with(summed, unit), total=whole, hlb=found)
    return Working(found, (say("step.total", total=whole), *parts, last))


def _with(number: Fraction, unit: str) -> Amount | Fraction:
    return Amount(number, unit) if unit else number


def blend(given: Given) -> Outcome:
    """Return the HLB of a blend of emulsifiers."""
    return _mean_of(given, "hlbs", EMULSIFIER, "hlb")


def oil_phase(given: Given) -> Outcome:
    """Return the HLB that a mixed oil phase requires."""
    return _mean_of(given, "required_hlbs", OIL, "required_hlb")


def _mean_of(given: Given, name: str, kind: str, result: str) -> Outcome:
    hlbs, findings = _hlbs(given, name, kind)
    amounts, unit = _amounts(given)
    found = weighted_mean(amounts, hlbs, unit)
    total = sum(amounts, Fraction(0))
    results = (
        Result(result, Number(found.result)),
        Result("total", Amount(total, unit) if unit else Number(total)),
        *numbered("share", (Number(each / total * WHOLE, "%") for each in amounts)),
    )
    return Outcome(results, found.steps, findings)


def _hlbs(given: Given, name: str, kind: str) -> tuple[tuple[Fraction, ...], tuple[Finding, ...]]:
    way = given_one(given, (name, "substances"), say("one_way"))
    require_equal_lengths(given, "amounts", way)
    if way == name:
        return given.numbers(name), ()
    rows = {
        each: only_row("hlb", "hlb", substance=each, kind=kind)
        for each in given.texts("substances")
    }
    findings = (f for each, row in rows.items() for f in row_findings(row, each, "substances"))
    hlbs = (Fraction(rows[each]["hlb"]) for each in given.texts("substances"))
    return tuple(hlbs), tuple(findings)


def _amounts(given: Given) -> tuple[tuple[Fraction, ...], str]:
    """Return the amounts as numbers, and their unit if they are masses."""
    values = given.values["amounts"]
    masses = [isinstance(each, Amount) for each in values]
    if any(masses) != all(masses):
        raise Refusal(say("mixed"))
    if all(masses):
        return tuple(each.to("g").number for each in values), "g"
    return given.numbers("amounts"), ""


def ratio(given: Given) -> Outcome:
    """Return the shares of two emulsifiers for a wanted HLB."""
    high, low, wanted = (given.number(f"{name}_hlb") for name in ("high", "low", "required"))
    if high <= low:
        raise Refusal(say("high_not_above"))
    if not low <= wanted <= high:
        raise Refusal(say("outside", low=low, high=high))
    more = (wanted - low) / (high - low) * WHOLE
    less = WHOLE - more
    results = (
        Result("high_percent", Number(more, "%")),
        Result("low_percent", Number(less, "%")),
    )
    steps = (
        say("step.high", wanted=wanted, low=low, high=high, percent=more),
        say("step.low", high=more, percent=less),
    )
    weighed = _weighed(given, more, less)
    last = say("step.ratio", high=more, low=less, wanted=wanted)
    return Outcome((*weighed.results, *results), (*steps, last, *weighed.steps))


def _weighed(given: Given, more: Fraction, less: Fraction) -> Outcome:
    if not given.has("emulsifier"):
        return Outcome((), ())
    whole = given.amount("emulsifier")
    results: list[Result] = []
    steps: list[Message] = []
    for name, percent in (("high", more), ("low", less)):
        mass = convenient(whole * (percent / WHOLE))
        results.append(Result(name, mass))
        steps.append(say("step.weigh", emulsifier=whole, percent=percent, mass=mass))
    return Outcome(tuple(results), tuple(steps))


AMOUNTS = Input("amounts", (Kind.MASS, Kind.PERCENT, Kind.NUMBER), many=True)


def _substances(kind: str) -> Input:
    names = names_in_table("hlb", kind=kind)
    return Input("substances", (Kind.TEXT,), many=True, optional=True, suggested=names)


def _hlb_input(name: str, *, many: bool = False) -> Input:
    return Input(name, (Kind.NUMBER,), many=many, optional=many, most=MOST_HLB)


CALCULATIONS = (
    Calculation(
        "hlb-of-a-blend",
        AREA,
        (AMOUNTS, _hlb_input("hlbs", many=True), _substances(EMULSIFIER)),
        blend,
        (("amounts", "9; 1"), ("hlbs", "15; 4.3")),
    ),
    Calculation(
        "required-hlb",
        AREA,
        (AMOUNTS, _hlb_input("required_hlbs", many=True), _substances(OIL)),
        oil_phase,
        (("amounts", "1.5 g; 7.5 g; 5 g"), ("required_hlbs", "12; 11.5; 6.2")),
    ),
    Calculation(
        "emulsifier-ratio",
        AREA,
        (
            _hlb_input("high_hlb"),
            _hlb_input("low_hlb"),
            _hlb_input("required_hlb"),
            Input("emulsifier", (Kind.MASS,), optional=True),
        ),
        ratio,
        (("high_hlb", "15"), ("low_hlb", "4.3"), ("required_hlb", "10"), ("emulsifier", "5 g")),
    ),
)
