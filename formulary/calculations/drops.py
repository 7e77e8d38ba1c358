"""Drops: what one weighs and measures, of this preparation from this dropper, and how many."""

from __future__ import annotations

from fractions import Fraction
from math import floor

from formulary.calculating.choosing import given_one, numbered
from formulary.calculating.describing import Calculation, Input, Kind, speaker
from formulary.calculating.doubting import many_drops
from formulary.calculating.outcome import Number, Outcome, Result, caution, note
from formulary.calculating.values import Given
from formulary.calculations.density import in_g_per_ml, through_density
from formulary.errors import Refusal
from formulary.finding import Finding, Severity
from formulary.messages import Message
from formulary.quantity import units
from formulary.quantity.amount import Amount, Concentration
from formulary.quantity.writing import convenient

AREA = "drops"
HALF = Fraction(1, 2)
TEXTS = {
    "input": {
        "counted": "Drops counted in each run",
        "runs": "What they weigh or measure, run by run",
        "density": "Density of the preparation",
        "strength": "Strength of the preparation",
        "nominal": "What they should weigh",
        "tolerance": "Tolerance of that",
        "deviation": "Permitted deviation from the mean in per cent",
        "drop": "Mass or volume of one drop",
        "per_ml": "Drops in one mL",
        "per_g": "Drops in one gram",
        "active_in_drop": "Active in one drop",
        "drops": "Drops",
        "amount": "Mass or volume",
        "dose": "Dose of active",
    },
    "result": {
        "mass_per_drop": "Mass of one drop",
        "volume_per_drop": "Volume of one drop",
        "per_ml": "Drops in one mL",
        "per_g": "Drops in one gram",
        "mean": "Mean of the runs",
        "deviation": "Deviation from the mean",
        "max_deviation": "Largest deviation from the mean",
        "complies": "Complies",
        "drops": "Drops",
        "whole_drops": "Whole drops",
        "mass": "Mass",
        "volume": "Volume",
        "active": "Active in it",
        "active_given": "Active in the whole drops",
    },
    "dropper_calibration": {
        "title": "Calibrating a dropper",
        "words": "drops per mL, gtt, dropper, eye drops, calibrate",
        "about": "Mass and volume of one drop of a preparation from one dropper.",
        "source": "Drops counted out and weighed or measured, the mean of all runs.",
        "limits": "For this preparation, this dropper, held upright, at this temperature.",
        "caution": "No drop is 0.05 mL in general: calibrate each preparation and dropper.",
    },
    "standard_dropper_test": {
        "title": "Standard dropper test",
        "words": "drops per mL, gtt, normal dropper, pharmacopoeia",
        "about": "Whether a dropper gives the drops of water that the pharmacopoeia asks for.",
        "source": "Ph. Eur. 2.1.1 (text seen in the Czech Pharmacopoeia 1997): 20 drops of water "
        "at 20 °C weigh 1000 mg ± 50 mg; three runs within 5 % of their mean.",
        "limits": "Water at 19 °C to 21 °C, one drop in a second, the dropper upright.",
        "caution": "A dropper that complies with water still drops other liquids differently.",
    },
    "drops_and_doses": {
        "title": "Drops, amounts and doses",
        "words": "drops per mL, gtt, eye drops, ear drops, nose drops, oral drops, dropper",
        "about": "From drops to mass, volume and active, or from those to drops.",
        "source": "Proportion, from the calibrated drop of this preparation and dropper.",
        "limits": "The calibration belongs to this preparation and this dropper.",
        "caution": "Only whole drops can be given; see what they hold.",
    },
    "step": {
        "mean": "Mean of {n} runs of {counted} drops: {mean}",
        "one": "{mean} / {counted} = {drop} in one drop",
        "other": "One drop of {drop} is {other} at {density}",
        "per_ml": "1 mL / {drop} = {count} drops in one mL",
        "per_g": "1 g / {drop} = {count} drops in one gram",
        "range": "Each run must lie between {least} and {most}",
        "deviation": "{run}: {deviation} % from the mean",
        "complies": "Every run complies",
        "fails": "Not every run complies",
        "from_per_ml": "1 mL / {count} = {drop} in one drop",
        "from_per_g": "1 g / {count} = {drop} in one drop",
        "from_active": "{active} / {strength} = {drop} in one drop",
        "active_in_drop": "{drop} of {strength} holds {active} in one drop",
        "amount": "{drops} drops x {drop} = {amount}",
        "active": "{drops} drops x {active_in_drop} = {active}",
        "drops": "{amount} / {drop} = {drops} drops",
        "whole": "{drops} rounds to {whole} whole drops",
    },
    "calibration": "Give one of mass or volume of a drop, drops in one mL, drops in one gram, and "
    "active in one drop.",
    "wanted": "Give one of drops, mass or volume, and dose of active.",
    "strength": "Active in drops needs the strength of the preparation.",
    "no_strength": "{strength} doesn’t say how much active is in a mass or a volume.",
    "density": "Mass and volume of drops meet through the density of the preparation; give it.",
    "not_whole": "Drops are given whole; {drops} can’t be.",
    "none": "The dose is less than half a drop. Use a weaker preparation.",
    "rounded": "{whole} drops give {percent} % of the dose.",
    "as_water": "Without its density only the one of mass and volume is known.",
}
CALIBRATIONS = ("drop", "per_ml", "per_g", "active_in_drop")
say = speaker(AREA)


def calibrate(given: Given) -> Outcome:
    """Return mass and volume of one drop, and how many are in one gram and one mL."""
    counted, runs = given.count("counted"), given.amounts("runs")
    mean = _mean(runs)
    drop = convenient(mean * Fraction(1, counted))
    steps = [
        say("step.mean", n=len(runs), counted=counted, mean=mean),
        say("step.one", mean=mean, counted=counted, drop=drop),
    ]
    known = _both(drop, given, steps)
    results: list[Result] = []
    for name, per in (("mass_per_drop", "g"), ("volume_per_drop", "mL")):
        if (found := known.get(per)) is not None:
            count = Amount(Fraction(1), per) / found
            steps.append(say(f"step.per_{per.lower()}", drop=found, count=count))
            results.append(Result(name, found))
            results.append(Result(f"per_{per.lower()}", Number(count, f"drops/{per}")))
    findings = (note(say("as_water"), "density"),) if len(known) == 1 else ()
    return Outcome(tuple(results), tuple(steps), findings)


def _mean(runs: tuple[Amount, ...]) -> Amount:
    total = sum(runs[1:], runs[0])
    return Amount(total.number / len(runs), total.unit)


def _both(drop: Amount, given: Given, steps: list[Message]) -> dict[str, Amount]:
    """Return the drop as mass and volume, or one of them where there is no density."""
    base, other = ("g", "mL") if units.dimension(drop.unit) == units.MASS else ("mL", "g")
    known = {base: drop}
    if given.has("density"):
        density = given.number("density")
        known[other] = through_density(drop, units.dimension(other), density)
        said = {"other": known[other], "density": in_g_per_ml(density)}
        steps.append(say("step.other", drop=drop, **said))
    return known


def judge_dropper(given: Given) -> Outcome:
    """Return mean and largest deviation of the runs, and whether the dropper complies."""
    runs, counted = given.amounts("runs"), given.count("counted")
    nominal, tolerance = given.amount("nominal"), given.amount("tolerance")
    mean = _mean(runs)
    deviations = [abs(run / mean - 1) * 100 for run in runs]
    least, most = nominal - tolerance, nominal + tolerance
    near = all(each <= given.number("deviation") for each in deviations)
    complies = near and all(least <= run <= most for run in runs)
    pairs = zip(runs, deviations, strict=True)
    return Outcome(
        (
            Result("complies", complies),
            Result("mean", mean),
            Result("max_deviation", Number(max(deviations), "%")),
            *numbered("deviation", (Number(each, "%") for each in deviations)),
        ),
        (
            say("step.mean", n=len(runs), counted=counted, mean=mean),
            say("step.range", least=least, most=most),
            *(say("step.deviation", run=run, deviation=each) for run, each in pairs),
            say("step.complies" if complies else "step.fails"),
        ),
    )


def convert(given: Given) -> Outcome:
    """Return drops, mass, volume and active from one of them."""
    steps: list[Message] = []
    known, active = _one_drop(given, steps)
    wanted = given_one(given, ("drops", "amount", "dose"), say("wanted"))
    drops = _drops(given, wanted, known, active, steps)
    whole = floor(drops + HALF)
    results = [Result("drops", Number(drops, "drops"))]
    if wanted != "drops":
        results.append(Result("whole_drops", Amount(Fraction(whole), "drop")))
        steps.append(say("step.whole", drops=drops, whole=whole))
    found = [_all_of(name, each, drops) for name, each in known.items()]
    results = found + results if wanted == "drops" else results + found
    if active is not None:
        results.append(Result("active", convenient(active * drops)))
        results.append(Result("active_given", convenient(active * whole)))
    steps += _amount_steps(wanted, known, active, drops)
    return Outcome(tuple(results), tuple(steps), _doubt(wanted, drops, whole))


def _one_drop(given: Given, steps: list[Message]) -> tuple[dict[str, Amount], Amount | None]:
    """Return one drop as mass and volume, as far as they are known, and the active in it."""
    name = given_one(given, CALIBRATIONS, say("calibration"))
    if name == "active_in_drop" and not given.has("strength"):
        return {}, given.amount(name)
    known = _both(_drop(given, name, steps), given, steps)
    return known, _active_in_drop(given, known, steps)


def _drop(given: Given, name: str, steps: list[Message]) -> Amount:
    """Return one drop from whichever calibration was given."""
    if name == "drop":
        return given.amount("drop")
    if name == "active_in_drop":
        active = given.amount("active_in_drop")
        strength = given.strength("strength")
        drop = _holding(strength, active)
        said = {"active": active, "strength": strength}
        steps.append(say("step.from_active", drop=drop, **said))
        return drop
    count = given.number(name)
    drop = convenient(Amount(1 / count, "mL" if name == "per_ml" else "g"))
    steps.append(say(f"step.from_{name}", count=count, drop=drop))
    return drop


def _holding(strength: Concentration, active: Amount) -> Amount:
    """Return how much of the preparation holds so much active."""
    part, whole, share = _share(strength)
    return convenient(Amount(active.to(part).number / share, whole))


def _share(strength: Concentration) -> tuple[str, str, Fraction]:
    """Return the units of part and whole, and how much part is in one of the whole."""
    if strength.unit in units.PERCENTS:
        part, whole = {"% w/w": ("g", "g"), "% w/v": ("g", "mL"), "% v/v": ("mL", "mL")}[
            strength.unit
        ]
        return part, whole, strength.number / 100
    part, whole = units.split_concentration(strength.unit)
    if units.dimension(whole) not in (units.MASS, units.VOLUME):
        raise Refusal(say("no_strength", strength=strength))
    return part, whole, strength.number


def _active_in_drop(given: Given, known: dict[str, Amount], steps: list[Message]) -> Amount | None:
    if not given.has("strength"):
        return None
    strength = given.strength("strength")
    part, whole, share = _share(strength)
    base = "g" if units.dimension(whole) == units.MASS else "mL"
    if base not in known:
        raise Refusal(say("density"))
    active = convenient(Amount(known[base].to(whole).number * share, part))
    steps.append(say("step.active_in_drop", drop=known[base], strength=strength, active=active))
    return active


def _drops(
    given: Given,
    wanted: str,
    known: dict[str, Amount],
    active: Amount | None,
    steps: list[Message],
) -> Fraction:
    if wanted == "drops":
        value = given.values["drops"]
        number: Fraction = value.number if isinstance(value, Amount) else value
        if number.denominator != 1:
            raise Refusal(say("not_whole", drops=number))
        return number
    amount = given.amount(wanted)
    if wanted == "dose":
        if active is None:
            raise Refusal(say("strength"))
        drop = active
    else:
        base = "g" if units.dimension(amount.unit) == units.MASS else "mL"
        if base not in known:
            raise Refusal(say("density" if known else "strength"))
        drop = known[base]
    drops = amount / drop
    steps.append(say("step.drops", amount=amount, drop=drop, drops=drops))
    return drops


def _all_of(unit: str, drop: Amount, drops: Fraction) -> Result:
    return Result("mass" if unit == "g" else "volume", convenient(drop * drops))


def _amount_steps(
    wanted: str, known: dict[str, Amount], active: Amount | None, drops: Fraction
) -> list[Message]:
    if wanted != "drops":
        return []
    steps = []
    if active is not None:
        said = {"active_in_drop": active, "active": convenient(active * drops)}
        steps.append(say("step.active", drops=drops, **said))
    for drop in known.values():
        said = {"drop": drop, "amount": convenient(drop * drops)}
        steps.append(say("step.amount", drops=drops, **said))
    return steps


def _doubt(wanted: str, drops: Fraction, whole: int) -> tuple[Finding, ...]:
    """Return what whole drops make of a dose, where they don't give it exactly."""
    if wanted != "dose":
        return ()
    if whole == drops:
        return many_drops(drops, wanted)
    if whole == 0:
        raise Refusal(say("none"))
    percent = round(100 * whole / drops, 1)
    rounded = caution(say("rounded", whole=whole, percent=percent), "dose")
    return (rounded, *many_drops(drops, wanted))


_COUNTED = Input("counted", (Kind.COUNT,), default="20", assumed=Severity.REASON)
_DENSITY = Input("density", (Kind.DENSITY,), optional=True)

CALCULATIONS = (
    Calculation(
        "dropper-calibration",
        AREA,
        (_COUNTED, Input("runs", (Kind.MASS, Kind.VOLUME), many=True), _DENSITY),
        calibrate,
        (("counted", "20"), ("runs", "0.62 g; 0.61 g; 0.63 g"), ("density", "0.91 g/mL")),
    ),
    Calculation(
        "standard-dropper-test",
        AREA,
        (
            Input("runs", (Kind.MASS,), many=True),
            _COUNTED,
            Input("nominal", (Kind.MASS,), default="1000 mg"),
            Input("tolerance", (Kind.MASS,), default="50 mg"),
            Input("deviation", (Kind.PERCENT,), default="5"),
        ),
        judge_dropper,
        (("runs", "990 mg; 1010 mg; 1020 mg"),),
    ),
    Calculation(
        "drops-and-doses",
        AREA,
        (
            Input("drop", (Kind.MASS, Kind.VOLUME), optional=True),
            Input("per_ml", (Kind.NUMBER,), optional=True),
            Input("per_g", (Kind.NUMBER,), optional=True),
            Input("active_in_drop", (Kind.MASS, Kind.ACTIVITY), optional=True),
            _DENSITY,
            Input("strength", (Kind.STRENGTH,), optional=True),
            Input("drops", (Kind.DROPS, Kind.COUNT), optional=True),
            Input("amount", (Kind.MASS, Kind.VOLUME), optional=True),
            Input("dose", (Kind.MASS, Kind.VOLUME, Kind.ACTIVITY), optional=True),
        ),
        convert,
        (("drop", "31 mg"), ("density", "0.91 g/mL"), ("drops", "30")),
    ),
)
