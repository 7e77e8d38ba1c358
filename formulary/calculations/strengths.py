"""Strengths: every way of writing one, and strength, active and total from each other."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction

from formulary.calculating.describing import Calculation, Input, Kind, speaker
from formulary.calculating.outcome import Number, Outcome, Result, note
from formulary.calculating.strengths import WHOLE, plain
from formulary.calculating.values import Given
from formulary.calculations.density import in_g_per_ml
from formulary.errors import Refusal
from formulary.messages import Message, message
from formulary.quantity import units
from formulary.quantity.amount import Amount, Concentration, OneIn
from formulary.quantity.writing import convenient

AREA = "strengths"
TEXTS = {
    "input": {
        "strength": "Strength",
        "density": "Density of the preparation",
        "active_density": "Density of the active, if it is a liquid",
        "unit": "Mass or volume of one dose unit",
    },
    "result": {
        "percent": "Per cent, of the kind it was typed in",
        "one_in": "One part in so many",
        "ppm": "Parts per million",
        "percent_ww": "Per cent w/w",
        "percent_wv": "Per cent w/v",
        "percent_vv": "Per cent v/v",
        "one_in_ww": "Ratio w/w",
        "one_in_wv": "Ratio w/v",
        "one_in_vv": "Ratio v/v",
        "mg_per_g": "Milligrams in one gram",
        "mg_per_ml": "Milligrams in one millilitre",
        "ppm_ww": "Parts per million w/w (micrograms in one gram)",
        "ppm_wv": "Parts per million w/v (micrograms in one millilitre)",
        "ppm_vv": "Parts per million v/v (microlitres in one litre)",
        "units_per_g": "Units in one gram",
        "units_per_ml": "Units in one millilitre",
        "per_unit": "Active in one dose unit",
    },
    "strength_conversion": {
        "title": "Strength written in another way",
        "words": "percent, per cent, %, ratio strength, ppm, ppb, mg/mL, mg/g, mg per cent, 1 "
        "in, w/w to w/v, specific gravity, convert",
        "about": "Per cent, ratio, mg/g, mg/mL, parts per million and amount in a dose unit.",
        "source": "% w/w: g in 100 g. % w/v: g in 100 mL. % v/v: mL in 100 mL. "
        "Between w/w and w/v stands the density of the preparation.",
        "limits": "Units of activity stay units of activity; only a lot’s potency makes them mass.",
        "caution": "A per cent without its kind can mean three amounts.",
    },
    "step": {
        "read": "{strength} is {percent}",
        "to_wv": "{percent} x {density} = {result}",
        "to_ww": "{percent} / {density} = {result}",
        "vv_to_wv": "{percent} x {active_density} = {result}",
        "wv_to_vv": "{percent} / {active_density} = {result}",
        "units_to_ml": "{have} x {density} = {result}",
        "units_to_g": "{have} / {density} = {result}",
        "from_unit": "{strength} in {unit}: {result}",
        "in_unit": "{strength} in {unit}: {result}",
        "all": "So it can be written: {written}",
        "bare": "{percent} % is one part in {one_in}, and {ppm} parts per million",
    },
    "no_kind": "Whether that is w/w, w/v or v/v wasn’t said, so no mg/g or mg/mL can be given.",
    "over_whole": "{strength} is more than the whole.",
    "no_unit": "A strength in one dose unit needs the mass or volume of that unit.",
    "no_concentration": "{strength} can’t be written in another way without more figures.",
}
say = speaker(AREA)
STRENGTH = (Kind.STRENGTH, Kind.PERCENT)
PERCENT_PARTS = {"% w/w": ("g", "g"), "% w/v": ("g", "mL"), "% v/v": ("mL", "mL")}


def convert(given: Given) -> Outcome:
    """Return every way of writing a strength that the given densities allow."""
    if not given.is_strength("strength"):
        return _without_kind(given.number("strength"), given.typed.get("strength", ""))
    strength = given.strength("strength")
    steps: list[Message] = []
    if strength.unit.endswith("/piece"):
        strength = _from_dose_unit(strength, given, steps)
    found = plain(strength)
    if found.kind.startswith("units"):
        return _units_of_activity(strength, given, steps)
    if found.kind not in units.KINDS:
        raise Refusal(say("no_concentration", strength=strength))
    percents = {found.kind: found.per_hundred}
    first = Concentration(found.per_hundred, f"% {found.kind}")
    if strength != first:
        steps.append(say("step.read", strength=strength, percent=first))
    _bridge(percents, given, steps)
    _require_a_part(percents)
    results = [*_in_unit(percents, given, steps), *_written(percents)]
    # What was typed isn't the answer: it comes last, after what it was turned into.
    results.sort(key=lambda each: each.value == given.values["strength"])
    said = tuple(each.value for each in results if isinstance(each.value, Concentration | OneIn))
    steps.append(say("step.all", written=said))
    return Outcome(tuple(results), tuple(steps))


def _without_kind(percent: Fraction, typed: str) -> Outcome:
    """Return per cent, ratio and ppm of a strength typed without its kind; they need none."""
    if percent > WHOLE:
        raise Refusal(
            say("over_whole", strength=message("calculating.bare_percent", number=percent))
        )
    one_in, ppm = 100 / percent, percent * 10_000
    results = [
        Result("percent", Number(percent, "%")),
        Result("one_in", Number(one_in, "parts")),
        Result("ppm", Number(ppm, "ppm")),
    ]
    if "%" in typed:
        results.append(results.pop(0))
    step = say("step.bare", percent=percent, one_in=one_in, ppm=ppm)
    return Outcome(tuple(results), (step,), (note(say("no_kind"), "strength"),))


def _from_dose_unit(strength: Concentration, given: Given, steps: list[Message]) -> Concentration:
    if not given.has("unit"):
        raise Refusal(say("no_unit"))
    unit = given.amount("unit")
    part, _ = units.split_concentration(strength.unit)
    whole = "g" if units.dimension(unit.unit) == units.MASS else "mL"
    result = Concentration(strength.number / unit.to(whole).number, f"{part}/{whole}")
    steps.append(say("step.from_unit", strength=strength, unit=unit, result=result))
    return result


def _bridge(percents: dict[str, Fraction], given: Given, steps: list[Message]) -> None:
    """Add the kinds that the given densities reach."""
    bridges = (
        ("v/v", "w/v", "active_density", "vv_to_wv", 1),
        ("w/w", "w/v", "density", "to_wv", 1),
        ("w/v", "w/w", "density", "to_ww", -1),
        ("w/v", "v/v", "active_density", "wv_to_vv", -1),
    )
    for have, want, name, key, power in bridges:
        if have in percents and want not in percents and given.has(name):
            density = given.number(name)
            percents[want] = percents[have] * density**power
            said = {name: in_g_per_ml(density)}
            steps.append(
                say(
                    f"step.{key}",
                    percent=Concentration(percents[have], f"% {have}"),
                    result=Concentration(percents[want], f"% {want}"),
                    **said,
                )
            )


def _require_a_part(percents: Mapping[str, Fraction]) -> None:
    for kind in ("w/w", "v/v"):
        if percents.get(kind, Fraction(0)) > WHOLE:
            raise Refusal(say("over_whole", strength=Concentration(percents[kind], f"% {kind}")))


def _written(percents: Mapping[str, Fraction]) -> list[Result]:
    """Return the ways of writing each kind; those that a density gave come first."""
    results = []
    for kind, number in reversed(list(percents.items())):
        short = kind.replace("/", "")
        results.append(Result(f"percent_{short}", Concentration(number, f"% {kind}")))
        if 0 < number <= WHOLE:
            results.append(Result(f"one_in_{short}", OneIn(100 / number, kind)))
        if kind != "v/v":
            per = "g" if kind == "w/w" else "mL"
            value = Concentration(number * 10, f"mg/{per}")
            results.append(Result(f"mg_per_{per.lower()}", value))
        results.append(Result(f"ppm_{short}", Number(number * 10_000, "ppm")))
    return results


def _in_unit(percents: Mapping[str, Fraction], given: Given, steps: list[Message]) -> list[Result]:
    """Return the active in one dose unit, if its size is given and measured in a known kind."""
    if not given.has("unit"):
        return []
    unit = given.amount("unit")
    for kind, number in percents.items():
        strength = Concentration(number, f"% {kind}")
        part, whole = PERCENT_PARTS[strength.unit]
        if units.dimension(whole) == units.dimension(unit.unit):
            result = convenient(Amount(unit.to(whole).number * number / 100, part))
            steps.append(say("step.in_unit", strength=strength, unit=unit, result=result))
            return [Result("per_unit", result)]
    return []


def _units_of_activity(strength: Concentration, given: Given, steps: list[Message]) -> Outcome:
    part, whole = units.split_concentration(strength.unit)
    base = "g" if units.dimension(whole) == units.MASS else "mL"
    number = strength.number / units.factor(whole, base)
    values = {base: Concentration(number, f"{part}/{base}")}
    if given.has("density"):
        density = given.number("density")
        other, factor = ("mL", density) if base == "g" else ("g", 1 / density)
        values[other] = Concentration(number * factor, f"{part}/{other}")
        said = {"have": values[base], "result": values[other]}
        key = f"step.units_to_{other.lower()}"
        steps.append(say(key, density=in_g_per_ml(density), **said))
    steps.append(say("step.all", written=tuple(values.values())))
    results = tuple(Result(f"units_per_{per.lower()}", each) for per, each in values.items())
    return Outcome(results, tuple(steps))


_DENSITY = Input("density", (Kind.DENSITY,), optional=True)
_ACTIVE_DENSITY = Input("active_density", (Kind.DENSITY,), optional=True)

CALCULATIONS = (
    Calculation(
        "strength-conversion",
        AREA,
        (
            Input("strength", STRENGTH),
            _DENSITY,
            _ACTIVE_DENSITY,
            Input("unit", (Kind.MASS, Kind.VOLUME), optional=True),
        ),
        convert,
        (("strength", "1 % w/w"), ("density", "1.004 g/mL")),
    ),
)
