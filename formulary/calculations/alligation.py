"""Alligation: the strength of a mixture, and the mixture for a strength."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from math import gcd, lcm

from formulary.calculating.choosing import numbered
from formulary.calculating.describing import Calculation, Input, Kind, speaker
from formulary.calculating.outcome import Number, Outcome, Result, note
from formulary.calculating.strengths import (
    WHOLE,
    alike,
    as_value,
    part_unit,
    require_fit,
    shown,
    typed_unit,
)
from formulary.calculating.values import Given
from formulary.calculations.density import in_g_per_ml, through_density
from formulary.errors import Refusal
from formulary.finding import Finding
from formulary.messages import Message
from formulary.quantity import units
from formulary.quantity.amount import Amount
from formulary.quantity.writing import convenient

AREA = "alligation"
NONE = "-"
TEXTS = {
    "input": {
        "amounts": "Amounts, in order",
        "strengths": "Their strengths, in the same order",
        "densities": "Densities in the same order, - for none",
        "sources": "Strengths of the sources",
        "target_strength": "Strength wanted",
        "total": "Amount to make",
    },
    "result": {
        "strength": "Strength of the mixture",
        "total": "Whole mixture",
        "active": "Active in it",
        "parts": "Parts",
        "amount": "Amount",
    },
    "mixture_strength": {
        "title": "Strength of a mixture (alligation medial)",
        "words": "alligation medial, average strength, combine, blend, weighted mean, percent",
        "about": "What preparations of different strength come to when they are combined.",
        "source": "Conservation of the active: the weighted mean of the strengths.",
        "limits": "Strengths of one kind. By volume, the volumes are taken to add.",
        "caution": "Never combine leftovers from jars; this is for preparations made to be mixed.",
    },
    "alligation": {
        "title": "Parts for a strength in between (alligation alternate)",
        "words": "alligation alternate, tic-tac-toe, rule of mixtures, mixing two strengths, "
        "intermediate strength, percent, parts",
        "about": "In which parts stronger and weaker sources are mixed, and the amounts of each.",
        "source": "Each pair of a stronger and a weaker source is mixed inversely to its distances "
        "from the strength wanted.",
        "limits": "The strength wanted lies between the sources. With more than two there are "
        "many answers, of which this is one.",
        "caution": "Volumes of ethanol and water don’t add: use the ethanol dilution instead.",
    },
    "step": {
        "converted": "{number}. {amount} is {converted} at {density}",
        "active": "{number}. {amount} x {strength}: {active} of active",
        "sums": "Together {total} with {active} of active",
        "strength": "{active} / {total} = {strength}",
        "pair": "{strong} and {weak} for {target}: {strong_parts} parts and {weak_parts} parts",
        "parts": "In smallest whole parts, in order: {parts}",
        "amount": "{number}. {parts} of {sum} parts of {total}: {amount}",
    },
    "source": "of {strength} ({number})",
    "lengths": "Give as many strengths as amounts.",
    "densities": "Give one density for each amount, in order, with - for those without.",
    "two_sources": "Give at least two sources.",
    "outside": "The strength wanted, {target}, isn’t between those of the sources.",
    "over_whole": "{strength} is more than the whole.",
    "nothing_active": "There is no active in any of these.",
    "one_of_many": "With {n} sources there are many answers. This one pairs them in order.",
    "same": "A source of the very strength wanted may be added in any amount; here none is taken.",
    "additive": "The volumes are taken to add. Make up to {total} rather than rely on that.",
}
say = speaker(AREA)


def medial(given: Given) -> Outcome:
    """Return strength, whole and active of a mixture of any number."""
    numbers, kind = alike(given, "strengths")
    require_possible(numbers, kind)
    steps: list[Message] = []
    amounts = _in_one_kind(given, kind, len(numbers), steps)
    strength, total = mixed(amounts, numbers)
    active = active_in(total, strength, kind)
    for place, (amount, number) in enumerate(zip(amounts, numbers, strict=True), 1):
        said = {"strength": shown(number, kind), "active": active_in(amount, number, kind)}
        steps.append(say("step.active", number=place, amount=amount, **said))
    unit = typed_unit(given, "strengths")
    said_strength = shown(strength, kind, unit)
    steps.append(say("step.sums", total=total, active=active))
    steps.append(say("step.strength", active=active, total=total, strength=said_strength))
    results = (
        Result("strength", as_value(strength, kind, unit)),
        Result("total", total),
        Result("active", active),
    )
    return Outcome(results, tuple(steps), volumes_add(total))


def _in_one_kind(given: Given, kind: str, length: int, steps: list[Message]) -> list[Amount]:
    """Return the amounts by mass or by volume as the strengths ask, through their densities."""
    amounts = given.amounts("amounts")
    if len(amounts) != length:
        raise Refusal(say("lengths"))
    densities = given.values.get("densities", (NONE,) * length)
    if len(densities) != length:
        raise Refusal(say("densities"))
    wanted = _whole_of(kind, amounts[0])
    converted = []
    for number, (amount, density) in enumerate(zip(amounts, densities, strict=True), 1):
        found = through_density(amount, wanted, None if density == NONE else density)
        if found is not amount:
            said = {"converted": found, "density": in_g_per_ml(density)}
            steps.append(say("step.converted", number=number, amount=amount, **said))
        converted.append(found)
    return converted


def _whole_of(kind: str, first: Amount) -> units.Dimension:
    if not kind:
        return units.dimension(first.unit)
    return units.MASS if kind.endswith(("w/w", "in mass")) else units.VOLUME


def mixed(amounts: Sequence[Amount], numbers: Sequence[Fraction]) -> tuple[Fraction, Amount]:
    """Return the strength of a mixture in per cent, and the whole."""
    total = sum(amounts[1:], amounts[0])
    weighted = sum((amount / total * each for amount, each in zip(amounts, numbers, strict=True)))
    return Fraction(weighted), convenient(total)


def active_in(total: Amount, per_hundred: Fraction, kind: str) -> Amount:
    """Return the active in so much of a strength."""
    base = "g" if units.dimension(total.unit) == units.MASS else "mL"
    unit = part_unit(kind) or base
    return convenient(Amount(total.to(base).number * per_hundred / 100, unit))


def require_possible(numbers: Sequence[Fraction], kind: str) -> None:
    """Raise Refusal for more than the whole, or no active in any."""
    if kind in ("w/w", "v/v", "") and (strongest := max(numbers)) > WHOLE:
        raise Refusal(say("over_whole", strength=shown(strongest, kind)))
    if not any(numbers):
        raise Refusal(say("nothing_active"))


def volumes_add(total: Amount) -> tuple[Finding, ...]:
    """Return the doubt that volumes may not add, for a whole by volume."""
    by_volume = units.dimension(total.unit) == units.VOLUME
    return (note(say("additive", total=total)),) if by_volume else ()


def alternate(given: Given) -> Outcome:
    """Return parts, and amounts for a total, of sources around a strength."""
    (*sources, target), kind = alike(given, "sources", "target_strength")
    if len(sources) < len(("a stronger", "a weaker")):
        raise Refusal(say("two_sources"))
    require_possible(sources, kind)
    steps: list[Message] = []
    parts = whole_parts(_paired(sources, target, kind, steps))
    steps.append(say("step.parts", parts=tuple(parts)))
    called = [
        say("source", number=place, strength=shown(each, kind))
        for place, each in enumerate(sources, 1)
    ]
    results = list(numbered("parts", (Number(each, "parts") for each in parts), called))
    findings = _doubts(sources, target)
    if given.has("total"):
        total = given.amount("total")
        require_fit(kind, total)
        whole = sum(parts, Fraction(0))
        amounts = [convenient(total * (each / whole)) for each in parts]
        for number, (each, amount) in enumerate(zip(parts, amounts, strict=True), 1):
            said = {"parts": each, "sum": whole, "total": total, "amount": amount}
            steps.append(say("step.amount", number=number, **said))
        results = [*numbered("amount", amounts, called), *results]
        findings += volumes_add(total)
    return Outcome(tuple(results), tuple(steps), findings)


def _paired(
    sources: Sequence[Fraction], target: Fraction, kind: str, steps: list[Message]
) -> list[Fraction]:
    """Return parts of each source: stronger and weaker ones are paired in falling order."""
    order = sorted(range(len(sources)), key=lambda place: sources[place], reverse=True)
    strong = [place for place in order if sources[place] > target]
    weak = [place for place in order if sources[place] < target]
    if not strong or not weak:
        raise Refusal(say("outside", target=shown(target, kind)))
    parts = [Fraction(0)] * len(sources)
    for pair in range(max(len(strong), len(weak))):
        above, below = strong[min(pair, len(strong) - 1)], weak[min(pair, len(weak) - 1)]
        of_above, of_below = target - sources[below], sources[above] - target
        parts[above] += of_above
        parts[below] += of_below
        said = {"strong": shown(sources[above], kind), "weak": shown(sources[below], kind)}
        distances = {"strong_parts": of_above, "weak_parts": of_below}
        steps.append(say("step.pair", target=shown(target, kind), **said, **distances))
    return parts


def whole_parts(parts: Sequence[Fraction]) -> list[Fraction]:
    """Return the same proportion in the smallest whole numbers."""
    scale = lcm(*(each.denominator for each in parts))
    whole = [int(each * scale) for each in parts]
    return [Fraction(each, gcd(*whole)) for each in whole]


def _doubts(sources: Sequence[Fraction], target: Fraction) -> tuple[Finding, ...]:
    same = (note(say("same"), "sources"),) if target in sources else ()
    different = [each for each in sources if each != target]
    if len(different) == len(("a stronger", "a weaker")):
        return same
    return (*same, note(say("one_of_many", n=len(different)), "sources"))


AMOUNT, STRENGTH = (Kind.MASS, Kind.VOLUME), (Kind.STRENGTH, Kind.PERCENT)
_ZERO = Fraction(0)
_AMOUNTS = Input("amounts", AMOUNT, many=True)
_STRENGTHS = Input("strengths", STRENGTH, many=True, positive=False, least=_ZERO)
_TARGET_STRENGTH = Input("target_strength", STRENGTH)

CALCULATIONS = (
    Calculation(
        "mixture-strength",
        AREA,
        (
            _AMOUNTS,
            _STRENGTHS,
            Input(
                "densities",
                (Kind.DENSITY, Kind.CHOICE),
                many=True,
                optional=True,
                choices=(NONE,),
            ),
        ),
        medial,
        (("amounts", "200 g; 50 g; 100 g"), ("strengths", "10 % w/w; 20 % w/w; 5 % w/w")),
    ),
    Calculation(
        "alligation",
        AREA,
        (
            Input("sources", STRENGTH, many=True, positive=False, least=_ZERO),
            _TARGET_STRENGTH,
            Input("total", AMOUNT, optional=True),
        ),
        alternate,
        (("sources", "0.5 %; 0.1 %"), ("target_strength", "0.2 %"), ("total", "100 g")),
    ),
)
