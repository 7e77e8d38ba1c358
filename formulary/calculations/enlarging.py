"""Reducing and enlarging a formula: in amounts, in parts, or in per cent with a base to 100."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction

from formulary.calculating.choosing import numbered
from formulary.calculating.describing import Calculation, Input, Kind, speaker
from formulary.calculating.outcome import Number, Outcome, Result, note
from formulary.calculating.strengths import WHOLE, Plain, plain, shown
from formulary.calculating.values import Given
from formulary.calculations.density import in_g_per_ml, mass_of_volume, volume_of_mass
from formulary.errors import Refusal
from formulary.messages import Message
from formulary.quantity import units
from formulary.quantity.amount import Amount
from formulary.quantity.writing import convenient

AREA = "enlarging"
NONE = "-"
"""Stands in a list of densities for an ingredient that needs none."""
NOTHING, TO_WEIGHT, TO_VOLUME = "nothing", "to weight", "to volume"
TEXTS = {
    "input": {
        "amounts": "Amounts in the formula, in order",
        "made": "What the formula makes",
        "target": "Amount to make, each",
        "containers": "How many of it",
        "factor": "Factor, if no amounts are given",
        "excess": "Excess for losses",
        "densities": "Densities in the same order, - for none",
        "rest": "What the last ingredient fills up",
        "parts": "Parts, in order",
        "percents": "Per cents, in order",
    },
    "result": {
        "factor": "Factor",
        "amount": "Amount",
        "mass": "The same as a mass",
        "volume": "The same as a volume",
        "rest": "Base or vehicle to the whole",
        "total": "Amount made",
    },
    "reducing_and_enlarging": {
        "title": "Reducing and enlarging a formula",
        "words": "scale up, scale down, batch size, multiply, factor, recipe",
        "about": "Every amount times amount to make by amount of the formula.",
        "source": "Proportion. Liquids in a preparation to weight go through their density.",
        "limits": "An ingredient to weight is found by subtracting masses only.",
        "caution": "Scaling down is how a line falls under the least weighable quantity. "
        "An excess never changes the strength on the label.",
    },
    "parts_formula": {
        "title": "Formula in parts",
        "words": "parts by weight, ratio, proportion, ana, scale",
        "about": "Amounts from parts: by mass, or by volume where the amount to make is one.",
        "source": "Each part is the whole by the sum of the parts.",
        "limits": "All parts are of one kind, by mass or by volume.",
        "caution": "Parts by mass aren’t parts by volume.",
    },
    "percentage_formula": {
        "title": "Formula in per cent with a base to 100 %",
        "words": "percent, per cent, %, q.s., ad, ointment, base, cream, w/w",
        "about": "Amounts of what is stated in per cent, and the base or vehicle that is left.",
        "source": "Per cent of the whole; masses add to 100 %.",
        "limits": "A preparation by volume is made up to its mark: no figure for the vehicle.",
        "caution": "“To 100 g” and “100 g” of base are two different things.",
    },
    "step": {
        "target": "{containers} x {target} = {total}",
        "excess": "With {excess} % for losses: {total}",
        "factor": "{target} / {made} = {factor}",
        "by_factor": "Every amount x {factor}",
        "amount": "{number}. {amount} x {factor} = {result}",
        "part": "{number}. {part} of {sum} parts: {result}",
        "percent": "{number}. {percent} of {total}: {result}",
        "as_mass": "{number}. {amount} x {density} = {result}",
        "as_volume": "{number}. {amount} / {density} = {result}",
        "rest": "{total} − {sum} = {rest} of base",
        "make_up": "Make up to {total}",
    },
    "one_way": "Give what the formula makes and the amount to make, or a factor alone.",
    "made": "Give what the formula makes: its amounts aren’t all masses, so they can’t be summed.",
    "by_sum": "The formula is taken to make what its amounts come to, {made}.",
    "densities": "Give one density for each ingredient, in order, with - for those without.",
    "to_weight": "To weight, what the formula makes must be a mass.",
    "to_volume": "To volume, what the formula makes must be a volume.",
    "no_mass": "Ingredient {number} ({amount}) needs its density to be subtracted from a mass.",
    "overfilled": "The ingredients come to {sum}, more than the whole of {total}.",
    "over_100": "The per cents come to {sum} %, more than the whole.",
    "kind": "Per cents {kind} don’t fit an amount to make of {total}.",
    "make_up": "Make up to {total}; what that takes can’t be told by subtraction.",
}
say = speaker(AREA)


def enlarge(given: Given) -> Outcome:
    """Return every amount of a formula for another size."""
    steps: list[Message] = []
    factor = _factor(given, steps)
    amounts = given.amounts("amounts")
    scaled = tuple(convenient(each * factor) for each in amounts)
    for number, (amount, result) in enumerate(zip(amounts, scaled, strict=True), 1):
        said = {"amount": amount, "factor": factor, "result": result}
        steps.append(say("step.amount", number=number, **said))
    results = [*numbered("amount", scaled), Result("factor", Number(factor))]
    densities = _densities(given, len(amounts))
    results += _other_ways(scaled, densities, steps)
    return _filled_up(given, factor, scaled, results, steps)


def _factor(given: Given, steps: list[Message]) -> Fraction:
    if given.has("factor") == given.has("target"):
        raise Refusal(say("one_way"))
    if given.has("factor"):
        factor = given.number("factor") * _excess(given)
        steps.append(say("step.by_factor", factor=factor))
        return factor
    total, made = _total(given, steps), _made(given)
    factor = total / made
    steps.append(say("step.factor", target=total, made=made, factor=factor))
    return factor


def _made(given: Given) -> Amount:
    """Return what the formula makes: as given, or the sum of its masses where all are masses."""
    if given.has("made"):
        return given.amount("made")
    amounts = given.amounts("amounts")
    if {units.dimension(each.unit) for each in amounts} != {units.MASS}:
        raise Refusal(say("made"))
    return convenient(sum(amounts[1:], amounts[0]))


def _excess(given: Given) -> Fraction:
    return 1 + given.number("excess") / 100


def _total(given: Given, steps: list[Message]) -> Amount:
    """Return all that is made: each container, so many of them, and the excess."""
    target, containers = given.amount("target"), given.count("containers")
    total = target * containers
    if containers > 1:
        steps.append(say("step.target", target=target, containers=containers, total=total))
    if excess := given.number("excess"):
        total *= _excess(given)
        steps.append(say("step.excess", excess=excess, total=total))
    return total


def _densities(given: Given, length: int) -> tuple[Fraction | None, ...]:
    if not given.has("densities"):
        return (None,) * length
    found = given.values["densities"]
    if len(found) != length:
        raise Refusal(say("densities"))
    return tuple(None if each == NONE else each for each in found)


def _other_ways(
    amounts: Sequence[Amount], densities: Sequence[Fraction | None], steps: list[Message]
) -> list[Result]:
    """Return masses of volumes and volumes of masses, where there is a density."""
    results = []
    for number, (amount, density) in enumerate(zip(amounts, densities, strict=True), 1):
        by_mass = units.dimension(amount.unit) == units.MASS
        if density is None or not (by_mass or units.dimension(amount.unit) == units.VOLUME):
            continue
        other = (volume_of_mass if by_mass else mass_of_volume)(amount, density)
        name = "volume" if by_mass else "mass"
        results.append(Result(f"{name}_{number}", other))
        said = {"amount": amount, "density": in_g_per_ml(density), "result": other}
        steps.append(say(f"step.as_{name}", number=number, **said))
    return results


def _filled_up(
    given: Given,
    factor: Fraction,
    scaled: Sequence[Amount],
    results: list[Result],
    steps: list[Message],
) -> Outcome:
    rest = given.text("rest")
    if rest == NOTHING:
        by_sum = given.has("target") and not given.has("made")
        findings = (note(say("by_sum", made=_made(given)), "made"),) if by_sum else ()
        return Outcome(tuple(results), tuple(steps), findings)
    wanted = units.MASS if rest == TO_WEIGHT else units.VOLUME
    if not given.has("made") or units.dimension(given.amount("made").unit) != wanted:
        raise Refusal(say(rest.replace(" ", "_")))
    total = convenient(given.amount("made") * factor)
    if wanted == units.VOLUME:
        volumes = [each for each in scaled if units.dimension(each.unit) == units.VOLUME]
        _require_room(volumes, total)
        return _made_up(total, results, steps)
    found = {each.name: each.value for each in results}
    masses = [_mass(number, each, found) for number, each in enumerate(scaled, 1)]
    return _to_weight(masses, total, results, steps)


def _mass(number: int, amount: Amount, found: Mapping[str, object]) -> Amount:
    if units.dimension(amount.unit) == units.MASS:
        return amount
    mass = found.get(f"mass_{number}")
    if not isinstance(mass, Amount):
        raise Refusal(say("no_mass", number=number, amount=amount))
    return mass


def _require_room(amounts: Sequence[Amount], total: Amount) -> None:
    if amounts and (filled := sum(amounts[1:], amounts[0])) > total:
        raise Refusal(say("overfilled", sum=filled, total=total))


def _to_weight(
    masses: Sequence[Amount], total: Amount, results: list[Result], steps: list[Message]
) -> Outcome:
    filled = convenient(sum(masses[1:], masses[0]))
    _require_room(masses, total)
    rest = convenient(total - filled)
    steps.append(say("step.rest", total=total, sum=filled, rest=rest))
    return Outcome((*results, Result("rest", rest), Result("total", total)), tuple(steps))


def _made_up(total: Amount, results: list[Result], steps: list[Message]) -> Outcome:
    steps.append(say("step.make_up", total=total))
    findings = (note(say("make_up", total=total)),)
    return Outcome((*results, Result("total", total)), tuple(steps), findings)


def parts(given: Given) -> Outcome:
    """Return the amounts of a formula in parts."""
    steps: list[Message] = []
    total = _total(given, steps)
    each_parts = given.numbers("parts")
    whole = sum(each_parts, Fraction(0))
    amounts = tuple(convenient(total * (part / whole)) for part in each_parts)
    for number, (part, result) in enumerate(zip(each_parts, amounts, strict=True), 1):
        steps.append(say("step.part", number=number, part=part, sum=whole, result=result))
    results = [*numbered("amount", amounts)]
    results += _other_ways(amounts, _densities(given, len(amounts)), steps)
    return Outcome((*results, Result("total", total)), tuple(steps))


def percents(given: Given) -> Outcome:
    """Return the amounts of a formula in per cent, and the base to 100 %."""
    steps: list[Message] = []
    total = _total(given, steps)
    by_mass = units.dimension(total.unit) == units.MASS
    each = [plain(percent) for percent in given.values["percents"]]
    for percent in each:
        _require_kind(percent.kind, total, by_mass=by_mass)
    amounts = tuple(_share(total, percent) for percent in each)
    for place, (percent, result) in enumerate(zip(each, amounts, strict=True), 1):
        strength = shown(percent.per_hundred, percent.kind)
        said = {"percent": strength, "total": total, "result": result}
        steps.append(say("step.percent", number=place, **said))
    results = [*numbered("amount", amounts)]
    results += _other_ways(amounts, _densities(given, len(amounts)), steps)
    adding = (percent.per_hundred for percent in each if percent.kind != "w/v")
    if (whole := sum(adding, Fraction(0))) > WHOLE:
        raise Refusal(say("over_100", sum=whole))
    if by_mass:
        return _to_weight(amounts, total, results, steps)
    return _made_up(total, results, steps)


def _require_kind(kind: str, total: Amount, *, by_mass: bool) -> None:
    """Raise Refusal unless the per cent fits: w/w of a mass, w/v or v/v of a volume."""
    if kind not in (("", "w/w") if by_mass else ("w/v", "v/v")):
        raise Refusal(say("kind", kind=kind or "without their kind", total=total))


def _share(total: Amount, percent: Plain) -> Amount:
    if percent.kind == "w/v":
        return convenient(Amount(total.to("mL").number * percent.per_hundred / 100, "g"))
    return convenient(total * (percent.per_hundred / 100))


_TARGET = Input("target", (Kind.MASS, Kind.VOLUME))
_CONTAINERS = Input("containers", (Kind.COUNT,), default="1")
_EXCESS = Input("excess", (Kind.PERCENT,), default="0", positive=False, least=Fraction(0))
_DENSITIES = Input(
    "densities", (Kind.DENSITY, Kind.CHOICE), many=True, optional=True, choices=(NONE,)
)
_SIZES = (Kind.MASS, Kind.VOLUME, Kind.PIECES)

CALCULATIONS = (
    Calculation(
        "reducing-and-enlarging",
        AREA,
        (
            Input("amounts", (*_SIZES, Kind.DROPS, Kind.ACTIVITY), many=True),
            Input("made", _SIZES, optional=True),
            Input("target", _SIZES, optional=True),
            _CONTAINERS,
            Input("factor", (Kind.NUMBER,), optional=True),
            _EXCESS,
            Input(
                "rest",
                (Kind.CHOICE,),
                default=NOTHING,
                choices=(NOTHING, TO_WEIGHT, TO_VOLUME),
            ),
            _DENSITIES,
        ),
        enlarge,
        (
            ("amounts", "10 g; 15 mL"),
            ("made", "100 g"),
            ("target", "25 g"),
            ("rest", TO_WEIGHT),
            ("densities", "-; 0.88 g/mL"),
        ),
    ),
    Calculation(
        "parts-formula",
        AREA,
        (
            Input("parts", (Kind.NUMBER,), many=True),
            _TARGET,
            _CONTAINERS,
            _EXCESS,
            _DENSITIES,
        ),
        parts,
        (("parts", "3; 5; 10"), ("target", "75 g"), ("containers", "3")),
    ),
    Calculation(
        "percentage-formula",
        AREA,
        (
            Input("percents", (Kind.STRENGTH, Kind.PERCENT), many=True),
            _TARGET,
            _CONTAINERS,
            _EXCESS,
            _DENSITIES,
        ),
        percents,
        (("percents", "6; 4"), ("target", "20 g")),
    ),
)
