"""What a mould and an active are found to do by casting: calibration, displacement, double cast."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction

from formulary.calculating.choosing import given_one
from formulary.calculating.describing import Calculation, Input, Kind, speaker
from formulary.calculating.outcome import Number, Outcome, Result, note
from formulary.calculating.strengths import ANY, plain
from formulary.calculating.values import Given
from formulary.errors import Refusal
from formulary.finding import Severity
from formulary.messages import Message
from formulary.quantity.amount import Amount
from formulary.quantity.writing import convenient

AREA = "suppository_trials"
TEXTS = {
    "input": {
        "weights": "Weights of the units cast from plain base",
        "total_weight": "Weight of all units together",
        "units": "Units cast",
        "base_density": "Density of the base used",
        "other_density": "Density of the other base",
        "mould": "One unit of plain base",
        "plain_weight": "As many units of plain base together",
        "drug": "Active in all units together",
        "dose": "Active in one unit",
        "strength": "Active as per cent by mass of the units",
        "base": "Base used",
        "first_share": "Part of the plain base that the active is first mixed with",
        "cast_weight": "Weight of the finished, trimmed units together",
    },
    "result": {
        "mould": "One unit of plain base",
        "cavity": "Volume of one cavity",
        "other_mould": "One unit of the other base",
        "lightest": "Lightest unit",
        "heaviest": "Heaviest unit",
        "drug": "Active",
        "base": "Base",
        "base_displaced": "Base displaced",
        "displacement_value": "Displacement value (g that displace 1 g of base)",
        "displacement_factor": "Displacement factor (g displaced by 1 g)",
        "plain_base": "Base for units without active",
        "first_base": "Base to mix the active with",
    },
    "mould_calibration": {
        "title": "Calibration of a mould",
        "words": "suppository, pessary, mold, blank, cavity, calibration",
        "about": "Mean weight of one unit of plain base, the volume of a cavity, and what one "
        "unit weighs in a base of another density.",
        "source": "Mean of the units cast; volume = mass / density; masses in one cavity are as "
        "the densities.",
        "limits": "Cast all cavities, with the base and the temperature of later use.",
        "caution": "Calibrate again for each mould and each base; nominal sizes are not exact.",
    },
    "displacement_value": {
        "title": "Displacement value found by a trial",
        "words": "suppository, pessary, mold, density factor, replacement factor, base displaced",
        "about": "Displacement value and factor of an active from the weight of units cast with "
        "a known amount of it.",
        "source": "Displaced base = N x E − (weight of the units − active); value = active / "
        "displaced base; factor = its inverse.",
        "limits": "Holds for the base and the batch of the active it was found with.",
        "caution": "Keep the base and the convention beside the figure.",
    },
    "double_casting": {
        "title": "Double casting",
        "words": "suppository, pessary, mold, double pour, displacement unknown",
        "about": "For an active of unknown displacement: mix it with a part of the base, fill up "
        "with plain base, trim, weigh, melt again and cast.",
        "source": "Base in the units = their weight − active, whatever the active displaces.",
        "limits": "The first mixture must fit into the cavities with room to spare.",
        "caution": "Trim plain base only: what is cut off after the first filling must hold no "
        "active. Melting twice must not harm the active or the base.",
    },
    "step": {
        "mean": "{total} / {units} = {mould} for one unit of plain base",
        "cavity": "{mould} / {density} g/mL = {cavity} in one cavity",
        "other": "{mould} x {other} / {density} = {other_mould} of the other base",
        "by_dose": "{units} x {dose} = {drug} of active",
        "by_strength": "{total} x {percent} % = {drug} of active",
        "by_drug": "{drug} of active in all",
        "base": "{total} − {drug} = {base} of base in the units",
        "plain": "{units} x {mould} = {plain} of base without active",
        "plain_weighed": "{plain} of base in as many units without active",
        "displaced": "{plain} − {base} = {displaced} displaced",
        "value": "{drug} / {displaced} = {value} g displace 1 g of base",
        "first": "{plain} x {percent} % = {first} of base to mix the active with",
    },
    "weights_or_total": "Give either the weights one by one, or the weight of all units together "
    "with their number.",
    "both_densities": "For another base, give both densities.",
    "one_plain": "Give the plain base either for one unit, or for all of them together.",
    "one_active": "Give the active in one way: in one unit, in all units, or in per cent.",
    "not_by_mass": "A per cent of the units is by mass (w/w).",
    "nothing_displaced": "The units weigh too much: by these figures nothing was displaced. "
    "Check the calibration and the weights.",
    "no_base": "The active weighs as much as the units or more.",
    "for_base": "Found with {base}; another base needs a trial of its own.",
    "base_unsaid": "Say which base this was found with, and keep it beside the figure.",
}
say = speaker(AREA)
WHOLE = 100


def calibrate(given: Given) -> Outcome:
    """Return the mean weight of one unit of plain base, and what follows from densities."""
    total, units, spread = _cast(given)
    mould = Amount(total.number / units, "g")
    results = [Result("mould", convenient(mould)), *spread]
    steps = [say("step.mean", total=total, units=units, mould=mould)]
    if given.has("other_density") and not given.has("base_density"):
        raise Refusal(say("both_densities"))
    if given.has("base_density"):
        density = given.number("base_density")
        cavity = Amount(mould.number / density, "mL")
        results.append(Result("cavity", convenient(cavity)))
        steps.append(say("step.cavity", mould=mould, density=density, cavity=cavity))
    if given.has("other_density"):
        other = given.number("other_density")
        other_mould = mould * (other / density)
        results.append(Result("other_mould", convenient(other_mould)))
        said = {"density": density, "other": other, "other_mould": other_mould}
        steps.append(say("step.other", mould=mould, **said))
    return Outcome(tuple(results), tuple(steps))


def _cast(given: Given) -> tuple[Amount, int, tuple[Result, ...]]:
    """Return the weight of the units cast, their number, and their spread if each was weighed."""
    together = given.has("total_weight")
    if given.has("weights") == together or given.has("units") != together:
        raise Refusal(say("weights_or_total"))
    if together:
        return given.amount("total_weight").to("g"), given.count("units"), ()
    weights = [each.to("g") for each in given.amounts("weights")]
    spread = (Result("lightest", min(weights)), Result("heaviest", max(weights)))
    return sum(weights, Amount(Fraction(0), "g")), len(weights), spread


def find_displacement(given: Given) -> Outcome:
    """Return displacement value and factor from the weight of the units cast."""
    total = given.amount("total_weight").to("g")
    drug, step = _active(given, total)
    return _displaced(given, drug, total, (step,))


def _displaced(given: Given, drug: Amount, total: Amount, first: tuple[Message, ...]) -> Outcome:
    base, (whole, step) = total - drug, _plain(given)
    if base.number <= 0:
        raise Refusal(say("no_base"))
    displaced = whole - base
    if displaced.number <= 0:
        raise Refusal(say("nothing_displaced"))
    value = drug / displaced
    results = (
        Result("displacement_value", Number(value)),
        Result("displacement_factor", Number(1 / value)),
        Result("drug", convenient(drug)),
        Result("base", convenient(base)),
        Result("base_displaced", convenient(displaced)),
    )
    steps = (
        *first,
        say("step.base", total=total, drug=drug, base=base),
        *(() if step in first else (step,)),
        say("step.displaced", plain=whole, base=base, displaced=displaced),
        say("step.value", drug=drug, displaced=displaced, value=value),
    )
    named = given.has("base")
    said = say("for_base", base=given.text("base")) if named else say("base_unsaid")
    return Outcome(results, steps, (note(said, "base"),))


def _plain(given: Given) -> tuple[Amount, Message]:
    """Return the mass of all units cast from plain base, and the step that says so."""
    if given_one(given, ("mould", "plain_weight"), say("one_plain")) == "plain_weight":
        whole = given.amount("plain_weight").to("g")
        return whole, say("step.plain_weighed", plain=whole)
    units, mould = given.count("units"), given.amount("mould").to("g")
    return mould * units, say("step.plain", units=units, mould=mould, plain=mould * units)


def _active(given: Given, total: Amount) -> tuple[Amount, Message]:
    """Return the active in all units, however it was given, and the step that says so."""
    way = given_one(given, tuple(_ACTIVE), say("one_active"))
    return _ACTIVE[way](given, total)


def _by_dose(given: Given, _: Amount) -> tuple[Amount, Message]:
    units, dose = given.count("units"), given.amount("dose")
    drug = dose.to("g") * units
    return drug, say("step.by_dose", units=units, dose=dose, drug=drug)


def _by_drug(given: Given, _: Amount) -> tuple[Amount, Message]:
    drug = given.amount("drug").to("g")
    return drug, say("step.by_drug", drug=drug)


def _by_strength(given: Given, total: Amount) -> tuple[Amount, Message]:
    strength = plain(given.values["strength"])
    if strength.kind not in ("w/w", ANY):
        raise Refusal(say("not_by_mass"))
    drug = total * (strength.per_hundred / WHOLE)
    return drug, say("step.by_strength", total=total, percent=strength.per_hundred, drug=drug)


_ACTIVE: dict[str, Callable[[Given, Amount], tuple[Amount, Message]]] = {
    "dose": _by_dose,
    "drug": _by_drug,
    "strength": _by_strength,
}


def cast_twice(given: Given) -> Outcome:
    """Return the base for the first mixture, and after casting what the active displaced."""
    drug, step = _by_dose(given, Amount(Fraction(0), "g"))
    whole, cast = _plain(given)
    percent = given.number("first_share")
    first = whole * (percent / WHOLE)
    plan = (
        cast,
        step,
        say("step.first", plain=whole, percent=percent, first=first),
    )
    planned = (Result("plain_base", convenient(whole)), Result("first_base", convenient(first)))
    if not given.has("cast_weight"):
        return Outcome((planned[1], planned[0], Result("drug", convenient(drug))), plan)
    found = _displaced(given, drug, given.amount("cast_weight").to("g"), plan)
    return Outcome((*found.results, *planned), found.steps, found.findings)


UNITS = (Kind.COUNT,)
MASS = (Kind.MASS,)
CALCULATIONS = (
    Calculation(
        "mould-calibration",
        AREA,
        (
            Input("weights", MASS, many=True, optional=True),
            Input("total_weight", MASS, optional=True),
            Input("units", UNITS, optional=True),
            Input("base_density", (Kind.DENSITY,), optional=True),
            Input("other_density", (Kind.DENSITY,), optional=True),
        ),
        calibrate,
        (("total_weight", "12.3 g"), ("units", "6"), ("base_density", "0.95 g/mL")),
    ),
    Calculation(
        "displacement-value",
        AREA,
        (
            Input("units", UNITS),
            Input("mould", MASS, optional=True),
            Input("plain_weight", MASS, optional=True),
            Input("total_weight", MASS),
            Input("dose", MASS, optional=True),
            Input("drug", MASS, optional=True),
            Input("strength", (Kind.STRENGTH, Kind.PERCENT), optional=True, units=("% w/w", "%")),
            Input("base", (Kind.TEXT,), optional=True),
        ),
        find_displacement,
        (("units", "6"), ("mould", "1 g"), ("total_weight", "8.8 g"), ("strength", "40 % w/w")),
    ),
    Calculation(
        "double-casting",
        AREA,
        (
            Input("units", UNITS),
            Input("mould", MASS, optional=True),
            Input("plain_weight", MASS, optional=True),
            Input("dose", MASS),
            Input(
                "first_share",
                (Kind.PERCENT,),
                default="70 %",
                most=Fraction(WHOLE),
                assumed=Severity.NOTE,
            ),
            Input("cast_weight", MASS, optional=True),
            Input("base", (Kind.TEXT,), optional=True),
        ),
        cast_twice,
        (("units", "12"), ("mould", "2 g"), ("dose", "200 mg"), ("cast_weight", "25.2 g")),
    ),
)
