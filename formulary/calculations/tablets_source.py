"""Tablets or capsules as the source of an active: units to crush, powder to weigh."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from math import ceil

from formulary.calculating.choosing import given_one
from formulary.calculating.describing import Calculation, Input, Kind, speaker
from formulary.calculating.outcome import Number, Outcome, Result, caution, note
from formulary.calculating.values import Given
from formulary.calculations.density import in_g_per_ml, volume_of_mass
from formulary.errors import Refusal
from formulary.finding import Finding
from formulary.messages import Message
from formulary.quantity import units
from formulary.quantity.amount import Amount
from formulary.quantity.writing import convenient, in_one_unit
from formulary.working import Working

AREA = "tablets_source"
TEXTS = {
    "input": {
        "active": "Active needed in all",
        "dose": "Active in each dose unit",
        "units": "Dose units to make",
        "spare": "Spare in per cent",
        "strength": "Active in one tablet or capsule, as declared",
        "mean_mass": "Mean mass of a tablet, or of a capsule’s contents",
        "masses": "Their masses, weighed singly",
        "shell": "Mean mass of an empty capsule shell",
        "crushed": "Powder obtained from the units crushed",
        "taken": "How many were crushed, if more than needed",
        "powder_density": "Bulk or tapped density of that powder",
        "fill": "What one dose unit is filled with",
    },
    "result": {
        "crush": "Whole units to crush",
        "powder": "Powder to weigh",
        "active": "Active in it",
        "mean_mass": "Mean mass of one unit",
        "exact_units": "Units needed, exactly",
        "excipients": "Excipients that come with it",
        "left": "Powder left over",
        "per_unit": "Powder in each dose unit",
        "displaced": "Volume that the powder takes",
        "filler": "Filler to complete the fill",
    },
    "tablets_as_source": {
        "title": "Tablets or capsules as the source",
        "words": "crush, crushed tablets, open capsules, commercial tablets, child’s "
        "capsules, powder papers, suspension from tablets",
        "about": "How many units to crush, how much of the powder to weigh, and what its "
        "excipients displace.",
        "source": "Powder to weigh = active needed / active in one unit x mean mass.",
        "limits": "Every unit is taken to hold its declared content.",
        "caution": "Never crush modified-release, gastro-resistant or hazardous forms without "
        "the evidence and protection they ask for. Check the excipients for the patient.",
    },
    "step": {
        "mean": "Mean of {n} units: {mean_mass}",
        "shell": "{gross} − {shell} = {mean_mass} of contents",
        "needed": "{units} x {dose} = {active}",
        "spare": "With {spare} % spare: {active}",
        "exact": "{active} / {strength} = {exact_units} units",
        "crush": "Crush the next whole number: {crush}",
        "taken": "Crushed are {crush}, of which {exact_units} are needed",
        "mean_of_powder": "{crushed} / {crush} = {mean_mass} from each unit",
        "count": "Crush {crush} units, of which {exact_units} are needed",
        "powder": "{exact_units} x {mean_mass} = {powder} of powder",
        "fraction": "{crushed} x {exact_units} / {crush} = {powder} of powder",
        "excipients": "{powder} − {active} = {excipients} of excipients",
        "left": "{all} − {powder} = {left} left over",
        "displaced": "{powder} / {density} = {displaced}",
        "per_unit": "{powder} / {count} = {per_unit} in each dose unit",
        "filler": "{count} x {fill} − {powder} = {filler} of filler",
        "weigh": "Crush {crush} units and weigh {powder} of the powder",
    },
    "active_or_dose": "Give the active needed in all, or the dose and the number of dose units.",
    "mean_or_masses": "Give the mean mass or the masses of single units, not both.",
    "weigh_units": "Weigh the units, or the powder that they give: what is needed of it is "
    "{exact_units} / {crush} of the powder.",
    "per_unit_only": "The strength is the active in one unit, such as 25 mg or 25 mg/piece.",
    "too_few": "{taken} units hold too little: {exact_units} are needed.",
    "taken": "How many were crushed says something only with the powder obtained or a mean mass.",
    "too_strong": "A unit of {mean_mass} can’t hold {strength} of active.",
    "shell": "The shell ({shell}) can’t be as heavy as the whole capsule ({gross}).",
    "powder_lost": "The powder obtained ({crushed}) is more than {crush} units weigh ({all}).",
    "fill": "A filler needs the number of dose units.",
    "overfilled": "The powder in each dose unit ({per_unit}) is more than its fill ({fill}).",
    "loss": "{percent} % was lost in crushing; the loss is taken to be of even composition.",
    "whole": "All of the powder is used; nothing may be lost.",
}
say = speaker(AREA)


@dataclass(frozen=True, slots=True)
class FromUnits:
    """How many units are crushed, and how much of their powder holds the active needed."""

    active: Amount
    exact_units: Fraction
    crush: int
    powder: Amount
    excipients: Amount
    left: Amount


def from_units(
    active: Amount,
    strength: Amount,
    mean_mass: Amount,
    crushed: Amount | None = None,
    taken: int | None = None,
) -> Working[FromUnits]:
    """Return whole units to crush and the powder to weigh for an amount of active.

    ``strength`` is the active in one unit; ``crushed`` the powder really obtained from them, if it
    was weighed; ``taken`` how many were crushed, if more than needed. Raises
    :class:`formulary.errors.Refusal` for a unit heavier in active than itself, or too few units.
    """
    by_mass = units.dimension(strength.unit) == units.MASS
    if by_mass and strength > mean_mass:
        raise Refusal(say("too_strong", mean_mass=mean_mass, strength=strength))
    exact = active / strength
    crush = _to_crush(exact, taken)
    everything = convenient(mean_mass * crush)
    if crushed is not None and crushed > everything:
        raise Refusal(say("powder_lost", crushed=crushed, crush=crush, all=everything))
    obtained = everything if crushed is None else crushed
    powder = convenient(obtained * (exact / crush))
    excipients = convenient(powder - active) if by_mass else powder
    found = FromUnits(
        convenient(active), exact, crush, powder, excipients, convenient(obtained - powder)
    )
    return Working(found, _steps(found, strength, mean_mass, obtained, crushed), None)


def _to_crush(exact: Fraction, taken: int | None) -> int:
    if taken is None:
        return ceil(exact)
    if taken < exact:
        raise Refusal(say("too_few", taken=taken, exact_units=exact))
    return taken


def _steps(
    found: FromUnits,
    strength: Amount,
    mean_mass: Amount,
    obtained: Amount,
    crushed: Amount | None,
) -> tuple[Message, ...]:
    said = {"exact_units": found.exact_units, "powder": found.powder}
    if crushed is None:
        weigh = say("step.powder", mean_mass=mean_mass, **said)
    else:
        weigh = say("step.fraction", crushed=crushed, crush=found.crush, **said)
    excipients = (
        say(
            "step.excipients",
            powder=found.powder,
            active=found.active,
            excipients=found.excipients,
        ),
    )
    return (
        say("step.exact", active=found.active, strength=strength, exact_units=found.exact_units),
        _crush_step(found.exact_units, found.crush),
        weigh,
        *(excipients if units.dimension(strength.unit) == units.MASS else ()),
        say("step.left", **in_one_unit(all=obtained, powder=found.powder, left=found.left)),
        say("step.weigh", crush=found.crush, powder=found.powder),
    )


def _crush_step(exact: Fraction, crush: int) -> Message:
    if crush == ceil(exact):
        return say("step.crush", crush=crush)
    return say("step.taken", crush=crush, exact_units=exact)


def tablets_as_source(given: Given) -> Outcome:
    """Return units to crush, powder to weigh, and what it displaces in the dose units."""
    steps: list[Message] = []
    active, strength = _active(given, steps), _in_one_unit(given)
    taken = given.count("taken") if given.has("taken") else None
    if not any(given.has(name) for name in ("mean_mass", "masses", "crushed")):
        return _counted(active, strength, taken, steps)
    crushed = given.amount("crushed") if given.has("crushed") else None
    if given.has("mean_mass") or given.has("masses"):
        mean_mass = _mean_mass(given, steps)
    else:
        mean_mass = _mean_of_powder(given.amount("crushed"), active / strength, taken, steps)
    working = from_units(active, strength, mean_mass, crushed, taken)
    found = working.result
    more, more_steps = _in_dose_units(given, found.powder)
    results = (
        Result("crush", Number(Fraction(found.crush), "units")),
        Result("powder", found.powder),
        Result("active", found.active),
        Result("mean_mass", mean_mass),
        Result("exact_units", Number(found.exact_units, "units")),
        Result("excipients", found.excipients),
        Result("left", found.left),
        *more,
    )
    *before, last = working.steps
    all_steps = (*steps, *before, *more_steps, last)
    return Outcome(results, all_steps, _doubts(found, mean_mass, crushed))


def _active(given: Given, steps: list[Message]) -> Amount:
    if given_one(given, ("active", "dose"), say("active_or_dose")) == "active":
        active = given.amount("active")
    elif given.has("units"):
        dose, count = given.amount("dose"), given.count("units")
        active = convenient(dose * count)
        steps.append(say("step.needed", units=count, dose=dose, active=active))
    else:
        raise Refusal(say("active_or_dose"))
    if spare := given.number("spare"):
        active = convenient(active * (1 + spare / 100))
        steps.append(say("step.spare", spare=spare, active=active))
    return active


def _in_one_unit(given: Given) -> Amount:
    """Return the active in one tablet or capsule, also where it was typed as 25 mg/piece."""
    if not given.is_strength("strength"):
        return given.amount("strength")
    strength = given.strength("strength")
    part, _, whole = strength.unit.partition("/")
    if whole != "piece":
        raise Refusal(say("per_unit_only"))
    return Amount(strength.number, part)


def _counted(active: Amount, strength: Amount, taken: int | None, steps: list[Message]) -> Outcome:
    """Return the units to crush alone, where nothing was weighed yet."""
    if taken is not None:
        raise Refusal(say("taken"))
    exact = active / strength
    crush = ceil(exact)
    said = {"crush": crush, "exact_units": exact}
    results = (
        Result("crush", Number(Fraction(crush), "units")),
        Result("exact_units", Number(exact, "units")),
        Result("active", convenient(active)),
    )
    first = say("step.exact", active=active, strength=strength, exact_units=exact)
    findings = () if exact == crush else (note(say("weigh_units", **said), "mean_mass"),)
    return Outcome(results, (*steps, first, say("step.count", **said)), findings)


def _mean_of_powder(
    crushed: Amount, exact: Fraction, taken: int | None, steps: list[Message]
) -> Amount:
    crush = _to_crush(exact, taken)
    mean_mass = convenient(crushed * Fraction(1, crush))
    steps.append(say("step.mean_of_powder", crushed=crushed, crush=crush, mean_mass=mean_mass))
    return mean_mass


def _mean_mass(given: Given, steps: list[Message]) -> Amount:
    """Return the mean mass of a tablet or of a capsule's contents, without its shell."""
    if given_one(given, ("mean_mass", "masses"), say("mean_or_masses")) == "mean_mass":
        gross = given.amount("mean_mass")
    else:
        masses = given.amounts("masses")
        gross = convenient(sum(masses[1:], masses[0]) * Fraction(1, len(masses)))
        steps.append(say("step.mean", n=len(masses), mean_mass=gross))
    if not given.has("shell"):
        return gross
    shell = given.amount("shell")
    if shell >= gross:
        raise Refusal(say("shell", shell=shell, gross=gross))
    mean_mass = convenient(gross - shell)
    said = in_one_unit(gross=gross, shell=shell, mean_mass=mean_mass)
    steps.append(say("step.shell", **said))
    return mean_mass


def _in_dose_units(given: Given, powder: Amount) -> tuple[list[Result], list[Message]]:
    """Return what the powder displaces: its volume, its share of each unit, and the filler."""
    results: list[Result] = []
    steps: list[Message] = []
    if given.has("powder_density"):
        density = given.number("powder_density")
        displaced = volume_of_mass(powder, density)
        results.append(Result("displaced", displaced))
        said = {"density": in_g_per_ml(density), "displaced": displaced}
        steps.append(say("step.displaced", powder=powder, **said))
    if given.has("units"):
        count = given.count("units") * (1 + given.number("spare") / 100)
        per_unit = convenient(powder * (1 / count))
        results.append(Result("per_unit", per_unit))
        steps.append(say("step.per_unit", powder=powder, count=count, per_unit=per_unit))
        if given.has("fill"):
            fill = given.amount("fill")
            if per_unit > fill:
                raise Refusal(say("overfilled", per_unit=per_unit, fill=fill))
            filler = convenient(fill * count - powder)
            results.append(Result("filler", filler))
            steps.append(say("step.filler", count=count, fill=fill, powder=powder, filler=filler))
    elif given.has("fill"):
        raise Refusal(say("fill"))
    return results, steps


def _doubts(found: FromUnits, mean_mass: Amount, crushed: Amount | None) -> tuple[Finding, ...]:
    doubts: list[Finding] = []
    everything = mean_mass * found.crush
    if crushed is not None and crushed < everything:
        percent = round(100 * (1 - crushed / everything), 1)
        doubts.append(caution(say("loss", percent=percent), "crushed"))
    if found.exact_units == found.crush:
        doubts.append(note(say("whole"), "active"))
    return tuple(doubts)


MASS = (Kind.MASS,)
ACTIVE = (Kind.MASS, Kind.ACTIVITY)
IN_A_UNIT = ("mg", "g", "microgram", "international unit")

CALCULATIONS = (
    Calculation(
        "tablets-as-source",
        AREA,
        (
            Input("active", ACTIVE, optional=True),
            Input("dose", ACTIVE, optional=True),
            Input("units", (Kind.COUNT,), optional=True),
            Input("spare", (Kind.PERCENT,), default="0", positive=False, least=Fraction(0)),
            Input("strength", (*ACTIVE, Kind.STRENGTH), units=IN_A_UNIT),
            Input("mean_mass", MASS, optional=True),
            Input("masses", MASS, many=True, optional=True),
            Input("shell", MASS, optional=True),
            Input("crushed", MASS, optional=True),
            Input("taken", (Kind.COUNT,), optional=True),
            Input("powder_density", (Kind.DENSITY,), optional=True),
            Input("fill", MASS, optional=True),
        ),
        tablets_as_source,
        (
            ("dose", "3 mg"),
            ("units", "40"),
            ("spare", "5"),
            ("strength", "10 mg"),
            ("mean_mass", "120 mg"),
        ),
    ),
)
