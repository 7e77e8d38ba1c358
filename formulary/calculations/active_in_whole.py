"""Active, whole and strength from each other; a solid added to a solvent."""

from __future__ import annotations

from fractions import Fraction

from formulary.calculating.choosing import left_out
from formulary.calculating.describing import Calculation, Input, Kind, speaker
from formulary.calculating.outcome import Outcome, Result, note
from formulary.calculating.strengths import WHOLE, plain
from formulary.calculating.values import Given
from formulary.calculations.density import in_g_per_ml, through_density
from formulary.calculations.strengths import PERCENT_PARTS
from formulary.errors import Refusal
from formulary.messages import Message
from formulary.quantity import units
from formulary.quantity.amount import Amount, Concentration
from formulary.quantity.units import Dimension
from formulary.quantity.writing import convenient, in_one_unit

AREA = "active_in_whole"
TEXTS = {
    "input": {
        "strength": "Strength",
        "density": "Density of the preparation",
        "active_density": "Density of the active, if it is a liquid",
        "active": "Active",
        "total": "Whole preparation",
        "solvent": "Solvent or base added",
        "solvent_density": "Density of the solvent",
    },
    "result": {
        "percent_wv": "Per cent w/v",
        "strength": "Strength",
        "active": "Active",
        "active_volume": "Volume of the active",
        "total": "Whole preparation",
        "rest": "Everything else",
        "solvent": "Solvent or base to add",
        "mass": "Mass of the whole",
        "volume": "Volume of the whole",
    },
    "amount_and_strength": {
        "title": "Active, whole and strength",
        "words": "percent, per cent, percentage, %, w/v, w/w, v/v, ratio strength, make up "
        "to, dissolve, grams needed, IU per mL",
        "about": "How much active an amount holds, how much an active makes, or how strong it is.",
        "source": "Strength is active in the whole.",
        "limits": "Where mass meets volume, a density is needed.",
        "caution": "A preparation by volume is made up to its mark, not by adding the difference.",
    },
    "dissolving": {
        "title": "A solid added to a solvent or base",
        "words": "percent, w/w, solute and solvent, solution by weight, add to",
        "about": "Strength of what results, or what to add for a strength w/w.",
        "source": "Masses add: the whole is active and solvent together.",
        "limits": "Strength w/v only with the density of the solution.",
        "caution": "40 g added to 100 mL of water isn’t 40 %.",
    },
    "step": {
        "to_wv": "{percent} x {density} = {result}",
        "total_as": "{total} is {converted} at {density}",
        "active_as": "{active} is {converted} at {density}",
        "active": "{total} x {strength} = {active}",
        "total": "{active} / {strength} = {total}",
        "strength": "{active} / {total} = {strength}",
        "rest": "{total} − {active} = {rest} of everything else",
        "solvent_as": "{solvent} is {converted} at {density}",
        "sum": "{active} + {solvent} = {total}",
        "solvent": "{total} − {active} = {solvent} to add",
    },
    "over_whole": "{strength} is more than the whole.",
    "no_kind": "{percent} % needs its kind here: w/w, w/v or v/v.",
    "two_of_three": "Give two of active, whole and strength; the third is found.",
    "two_of_solvent": "Give two of active, solvent and strength; the third is found.",
    "part_of_whole": "The active ({active}) can’t be more than the whole ({total}).",
    "ww_needed": "Adding to a solvent gives a strength w/w. For others, make up to volume.",
    "make_up": "Made up to {total} by volume.",
}
say = speaker(AREA)


def amount_and_strength(given: Given) -> Outcome:
    """Return the one of active, whole and strength that wasn't given."""
    wanted = left_out(given, ("active", "total", "strength"), say("two_of_three"))
    steps: list[Message] = []
    if wanted == "strength":
        return _strength_found(given, steps)
    strength = _strength_with_kind(given)
    part, whole = _parts(strength)
    each = _one_unit_holds(strength)
    if wanted == "active":
        total = _as(given, "total", whole, "density", steps)
        active = convenient(Amount(total.to(whole).number * each, part))
    else:
        active = _as(given, "active", part, "active_density", steps)
        if not each:
            raise Refusal(say("over_whole", strength=strength))
        total = convenient(Amount(active.to(part).number / each, whole))
    steps.append(say(f"step.{wanted}", active=active, total=total, strength=strength))
    pair = {"active": Result("active", active), "total": Result("total", total)}
    first = pair.pop(wanted)
    measured = _active_measured(given, active, steps)
    results = (first, *measured, *pair.values(), Result("strength", strength))
    return _with_rest(results, active, total, steps)


def _active_measured(given: Given, active: Amount, steps: list[Message]) -> tuple[Result, ...]:
    """Return the volume of a liquid active that was found by mass, if its density was given."""
    by_mass = units.dimension(active.unit) is units.MASS and not given.has("active")
    if not by_mass or not given.has("active_density"):
        return ()
    density = given.number("active_density")
    volume = through_density(active, Dimension.VOLUME, density)
    said = {"active": active, "converted": volume, "density": in_g_per_ml(density)}
    steps.append(say("step.active_as", **said))
    return (Result("active_volume", volume),)


def _parts(strength: Concentration) -> tuple[str, str]:
    return PERCENT_PARTS.get(strength.unit) or units.split_concentration(strength.unit)


def _one_unit_holds(strength: Concentration) -> Fraction:
    """Return how much of the part is in one of the whole, in the units of ``_parts``."""
    if strength.unit in ("% w/w", "% v/v") and strength.number > WHOLE:
        raise Refusal(say("over_whole", strength=strength))
    return strength.number / 100 if strength.unit in PERCENT_PARTS else strength.number


def _strength_with_kind(given: Given) -> Concentration:
    """Return the strength; a bare per cent is w/w of a mass whose kind nothing else can be."""
    if given.is_strength("strength"):
        return given.strength("strength")
    percent = given.number("strength")
    if given.has("total") and units.dimension(given.amount("total").unit) == units.MASS:
        return Concentration(percent, "% w/w")
    raise Refusal(say("no_kind", percent=percent))


def _as(given: Given, name: str, unit: str, density_name: str, steps: list[Message]) -> Amount:
    """Return an amount in the dimension of the unit, through the density where it's needed."""
    amount = given.amount(name)
    density = given.number(density_name) if given.has(density_name) else None
    converted = through_density(amount, units.dimension(unit), density)
    if converted is not amount and density is not None:
        said = {name: amount, "converted": converted, "density": in_g_per_ml(density)}
        steps.append(say(f"step.{name}_as", **said))
    return converted


def _strength_found(given: Given, steps: list[Message]) -> Outcome:
    active, total = given.amount("active"), given.amount("total")
    if (units.dimension(active.unit), units.dimension(total.unit)) == (units.VOLUME, units.MASS):
        active = _as(given, "active", "g", "active_density", steps)
    of = units.dimension(active.unit), units.dimension(total.unit)
    kinds = {pair: unit for unit, pair in PERCENT_PARTS.items()}
    base = {units.MASS: "g", units.VOLUME: "mL"}
    pair = (base.get(of[0], active.unit), base.get(of[1], total.unit))
    if pair not in kinds:
        number = active.to(pair[0]).number / total.to(pair[1]).number
        strength = Concentration(number, f"{pair[0]}/{pair[1]}")
    else:
        number = active.to(pair[0]).number / total.to(pair[1]).number
        strength = Concentration(number * 100, kinds[pair])
    if of[0] == of[1] and active > total:
        raise Refusal(say("part_of_whole", active=active, total=total))
    steps.append(say("step.strength", active=active, total=total, strength=strength))
    results = (Result("strength", strength), Result("active", active), Result("total", total))
    return _with_rest(results, active, total, steps)


def _with_rest(
    results: tuple[Result, ...], active: Amount, total: Amount, steps: list[Message]
) -> Outcome:
    """Add everything else by subtraction where masses do add; volumes are made up."""
    if {units.dimension(each.unit) for each in (active, total)} == {units.MASS}:
        rest = convenient(total - active)
        if rest.number < 0:
            raise Refusal(say("part_of_whole", active=active, total=total))
        said = say("step.rest", **in_one_unit(total=total, active=active, rest=rest))
        return Outcome((*results, Result("rest", rest)), (said, *steps))
    by_volume = units.dimension(total.unit) == units.VOLUME
    findings = (note(say("make_up", total=total)),) if by_volume else ()
    return Outcome(results, tuple(steps), findings)


def dissolving(given: Given) -> Outcome:
    """Return the strength w/w of a solid in a solvent, or the solvent for a strength w/w."""
    wanted = left_out(given, ("active", "solvent", "strength"), say("two_of_solvent"))
    steps: list[Message] = []
    if wanted == "strength":
        active = given.amount("active")
        solvent = _as(given, "solvent", "g", "solvent_density", steps)
        total = convenient(active + solvent)
        steps.append(say("step.sum", active=active, solvent=solvent, total=total))
    else:
        part = _part_by_mass(given)
        if wanted == "solvent":
            active = given.amount("active")
            total = convenient(active * (1 / part))
            steps.append(say("step.total", active=active, strength=_percent(part), total=total))
            solvent = convenient(total - active)
            steps.append(say("step.solvent", total=total, active=active, solvent=solvent))
        else:
            solvent = _as(given, "solvent", "g", "solvent_density", steps)
            total = convenient(solvent * (1 / (1 - part)))
            active = convenient(total - solvent)
            steps.append(say("step.sum", active=active, solvent=solvent, total=total))
    return _dissolved(given, wanted, active, solvent, total, steps)


def _part_by_mass(given: Given) -> Fraction:
    value = given.values["strength"]
    found = plain(value)
    if found.kind not in ("", "w/w"):
        raise Refusal(say("ww_needed"))
    if found.per_hundred >= WHOLE:
        raise Refusal(say("over_whole", strength=_percent(found.per_hundred / 100)))
    return found.per_hundred / 100


def _percent(part: Fraction) -> Concentration:
    return Concentration(part * 100, "% w/w")


def _dissolved(
    given: Given,
    wanted: str,
    active: Amount,
    solvent: Amount,
    total: Amount,
    steps: list[Message],
) -> Outcome:
    strength = _percent(active / total)
    results = {
        "strength": Result("strength", strength),
        "solvent": Result("solvent", solvent),
        "active": Result("active", active),
    }
    first = results.pop(wanted)
    found = [first, *results.values(), Result("mass", total)]
    if given.has("density"):
        density = given.number("density")
        volume = through_density(total, Dimension.VOLUME, density)
        in_volume = Concentration(strength.number * density, "% w/v")
        found += [Result("volume", volume), Result("percent_wv", in_volume)]
        said = {"percent": strength, "density": in_g_per_ml(density), "result": in_volume}
        steps.insert(0, say("step.to_wv", **said))
    if given.has("solvent_density") and wanted == "solvent":
        volume = through_density(solvent, Dimension.VOLUME, given.number("solvent_density"))
        found.append(Result("volume", volume))
    if wanted == "strength":
        steps.append(say("step.strength", active=active, total=total, strength=strength))
    return Outcome(tuple(found), tuple(steps))


_TOTAL = Input("total", (Kind.MASS, Kind.VOLUME, Kind.PIECES), optional=True)
_ACTIVE = Input(
    "active",
    (Kind.MASS, Kind.VOLUME, Kind.ACTIVITY, Kind.SUBSTANCE, Kind.EQUIVALENTS),
    optional=True,
)
_ANY_STRENGTH = Input(
    "strength",
    (Kind.STRENGTH, Kind.PERCENT),
    optional=True,
    units=("% w/w", "% w/v", "% v/v", "mg/g", "mg/mL", "1 in"),
)
_DENSITY = Input("density", (Kind.DENSITY,), optional=True)
_ACTIVE_DENSITY = Input("active_density", (Kind.DENSITY,), optional=True)

CALCULATIONS = (
    Calculation(
        "amount-and-strength",
        AREA,
        (_ACTIVE, _TOTAL, _ANY_STRENGTH, _DENSITY, _ACTIVE_DENSITY),
        amount_and_strength,
        (("total", "120 mL"), ("strength", "2 % w/v")),
    ),
    Calculation(
        "dissolving",
        AREA,
        (
            Input("active", (Kind.MASS,), optional=True),
            Input("solvent", (Kind.MASS, Kind.VOLUME), optional=True),
            _ANY_STRENGTH,
            Input("solvent_density", (Kind.DENSITY,), optional=True),
            _DENSITY,
        ),
        dissolving,
        (("active", "40 g"), ("solvent", "100 mL"), ("solvent_density", "1 g/mL")),
    ),
)
