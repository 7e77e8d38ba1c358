"""Isotonic solutions: sodium chloride equivalents, freezing points, and the isotonic volume."""

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
from formulary.calculating.outcome import Number, Outcome, Result, note
from formulary.calculating.strengths import ANY, plain
from formulary.calculating.values import Given
from formulary.errors import Refusal
from formulary.finding import Finding, Severity
from formulary.messages import Message
from formulary.quantity.amount import Amount, Concentration, OneIn
from formulary.quantity.writing import convenient
from formulary.working import Working

AREA = "isotonicity"
TEXTS = {
    "input": {
        "volume": "Volume of the solution",
        "masses": "Solutes (mass, or % w/v of the solution)",
        "equivalents": "Their sodium chloride equivalents (E)",
        "solutes": "Solutes as named in the table",
        "adjuster_equivalent": "E of the substance to adjust with (sodium chloride: 1)",
        "isotonic_part": "Of it already isotonic (a solution added as such)",
        "isotonic_percent": "Isotonic strength of sodium chloride, % w/v",
        "strengths": "Solutes (% w/v, or mass in the volume)",
        "depressions": "Their freezing-point depressions at 1 % w/v, °C",
        "isotonic_depression": "Depression of an isotonic solution, °C",
        "adjuster_depression": "Depression of the substance to adjust with, °C",
        "adjuster_at": "Strength at which that depression holds, % w/v",
        "diluted_to": "Volume to which it is diluted for use",
        "factor": "Isotonic mL for 1 g of sodium chloride",
        "total": "Volume to make",
    },
    "result": {
        "sodium_chloride_equivalent": "Sodium chloride that the solutes are worth",
        "isotonic_sodium_chloride": "Sodium chloride if there were nothing else",
        "missing_sodium_chloride": "Sodium chloride that is missing",
        "adjuster": "Substance to adjust with",
        "adjuster_percent": "Its strength in the solution as used",
        "solute": "Solute",
        "depression": "Depression by the solutes",
        "isotonic_volume": "Volume that they make isotonic",
        "vehicle": "Isotonic vehicle to add, about",
    },
    "isotonicity": {
        "title": "Isotonic solution by sodium chloride equivalents",
        "words": "tonicity, isotonic, E value, sodium chloride equivalent, eye drops, "
        "ophthalmic, collyrium, nasal, injection, boric acid",
        "about": "How much sodium chloride, or another substance, makes a solution isotonic.",
        "source": "Sodium chloride needed = isotonic strength x volume − sum of mass x E; another "
        "substance takes that divided by its E.",
        "limits": "Dilute solutions; E holds near 1 % w/v and differs between sources in the "
        "second decimal.",
        "caution": "Isotonic by this sum is not yet tolerated: boric acid is not isotonic with "
        "blood cells. What the E values don’t cover must be measured.",
    },
    "isotonicity_by_freezing_point": {
        "title": "Isotonic solution by freezing point",
        "words": "tonicity, isotonic, freezing point depression, cryoscopic, D value, L "
        "value, eye drops, ophthalmic",
        "about": "How much of a substance brings the freezing point down to that of blood and "
        "tears, also where the solution is diluted before use.",
        "source": "Per cent of the substance = (isotonic depression − sum of % x depression at "
        "1 %) / its depression at 1 %.",
        "limits": "Depressions are taken as proportional to the strength. Isotonic is 0.52 °C, in "
        "some sources 0.518 °C.",
        "caution": "Isotonic by this sum is not yet tolerated; measure what matters.",
    },
    "isotonic_volume": {
        "title": "Isotonic volume (White and Vincent)",
        "words": "tonicity, isotonic, White-Vincent, V value, E value, eye drops, ophthalmic",
        "about": "The volume of water that solutes make isotonic, to be made up with an isotonic "
        "vehicle.",
        "source": "White and Vincent: mL = sum of mass x E x 111.1 (100 / 0.9, rounded).",
        "limits": "As for sodium chloride equivalents.",
        "caution": "Dissolve in the isotonic volume of water first, then make up with the isotonic "
        "vehicle.",
    },
    "step": {
        "solute": "Solute {place}: {mass} x {equivalent} = {worth} of sodium chloride",
        "strength": "Solute {place}: {strength} of {volume} = {mass}",
        "isotonic": "{percent} % of {volume} = {needed} of sodium chloride in an isotonic solution",
        "rest": "{volume} − {part} that is isotonic in itself = {rest}",
        "missing": "{needed} − {worth} = {missing} of sodium chloride missing",
        "adjuster": "{missing} / {equivalent} = {adjuster}",
        "depression": "Solute {place}: {percent} % x {depression} = {found} °C",
        "diluted": "Diluted from {volume} to {final}: {sum} x {volume} / {final} = {found} °C",
        "one_percent": "{depression} / {percent} = {found} °C at 1 %",
        "adjuster_percent": "({isotonic} − {found}) / {depression} = {percent} % w/v",
        "adjuster_mass": "{percent} % of {volume} = {adjuster}",
        "volume": "{worth} x {factor} mL/g = {volume} made isotonic",
        "vehicle": "{total} − {volume} = {vehicle} of isotonic vehicle",
    },
    "one_way": "Give the solutes’ figures in one way: as numbers or by names from the table.",
    "no_solutes": "Give the solutes together with their figures, or neither.",
    "hypertonic": "Already hypertonic: the solutes are worth {worth} of sodium chloride, and an "
    "isotonic solution holds {needed}. Make it weaker or the volume larger.",
    "hypertonic_by_depression": "Already hypertonic: the solutes lower the freezing point by "
    "{found} °C, an isotonic solution by {isotonic} °C.",
    "hypertonic_volume": "Already hypertonic: the solutes make {volume} isotonic, more than the "
    "{total} to make.",
    "isotonic_already": "The solutes make the solution isotonic by themselves; nothing is added.",
    "no_rest": "The isotonic part must be smaller than the whole volume.",
    "per_cent_of_what": "Solutes in per cent need the volume of the whole preparation.",
    "not_w_v": "Strengths are per cent w/v here (g in 100 mL).",
    "not_diluted": "The volume for use can’t be less than that of the solution.",
}
say = speaker(AREA)
WHOLE = 100
NO_MASS = Amount(Fraction(0), "g")


def sodium_chloride_worth(pairs: list[tuple[Amount, Fraction]]) -> Working[Amount]:
    """Return the sodium chloride that solutes are worth: sum of mass x E."""
    worths = [mass.to("g") * equivalent for mass, equivalent in pairs]
    steps = (
        say("step.solute", place=place, mass=mass, equivalent=equivalent, worth=worth)
        for place, ((mass, equivalent), worth) in enumerate(zip(pairs, worths, strict=True), 1)
    )
    return Working(sum(worths, NO_MASS), tuple(steps))


def adjust(given: Given) -> Outcome:
    """Return what makes a solution isotonic, by sodium chloride equivalents."""
    volume, percent = given.amount("volume").to("mL"), given.number("isotonic_percent")
    masses, first = _masses(given, "masses", volume)
    worth = sodium_chloride_worth(list(zip(masses, _equivalents(given), strict=True)))
    free, apart = _to_be_adjusted(given, volume)
    needed = _percent_of(free, percent)
    if worth.result > needed:
        raise Refusal(say("hypertonic", worth=worth.result, needed=needed))
    missing = needed - worth.result
    equivalent = given.number("adjuster_equivalent")
    adjuster = convenient(missing * (1 / equivalent))
    results = (
        Result("adjuster", adjuster),
        Result("missing_sodium_chloride", convenient(missing)),
        Result("sodium_chloride_equivalent", convenient(worth.result)),
        Result("isotonic_sodium_chloride", convenient(needed)),
    )
    steps = (
        *first,
        *worth.steps,
        *apart,
        say("step.isotonic", percent=percent, volume=free, needed=needed),
        say("step.missing", needed=needed, worth=worth.result, missing=missing),
        say("step.adjuster", missing=missing, equivalent=equivalent, adjuster=adjuster),
    )
    return Outcome(results, steps, (*_looked_up(given), *_nothing_to_add(missing)))


def _to_be_adjusted(given: Given, volume: Amount) -> tuple[Amount, tuple[Message, ...]]:
    """Return the volume without what is isotonic in itself."""
    if not given.has("isotonic_part"):
        return volume, ()
    part = given.amount("isotonic_part").to("mL")
    if part >= volume:
        raise Refusal(say("no_rest"))
    rest = volume - part
    return rest, (say("step.rest", volume=volume, part=part, rest=rest),)


def _percent_of(volume: Amount, percent: Fraction) -> Amount:
    return Amount(volume.number * percent / WHOLE, "g")


def _nothing_to_add(missing: Amount) -> tuple[Finding, ...]:
    return () if missing.number else (note(say("isotonic_already")),)


def _masses(
    given: Given, name: str, volume: Amount
) -> tuple[tuple[Amount, ...], tuple[Message, ...]]:
    """Return the solutes as masses in the volume, and the steps where they were per cents."""
    masses: list[Amount] = []
    steps: list[Message] = []
    for place, value in enumerate(given.values[name], 1):
        if isinstance(value, Amount):
            masses.append(value.to("g"))
            continue
        percent = _percent(value)
        masses.append(_percent_of(volume, percent))
        strength = Concentration(percent, "% w/v")
        said = {"strength": strength, "volume": volume, "mass": masses[-1]}
        steps.append(say("step.strength", place=place, **said))
    return tuple(masses), tuple(steps)


def _percent(value: Concentration | OneIn | Fraction) -> Fraction:
    strength = plain(value)
    if strength.kind not in ("w/v", ANY):
        raise Refusal(say("not_w_v"))
    return strength.per_hundred


def _equivalents(given: Given) -> tuple[Fraction, ...]:
    way = given_one(given, ("equivalents", "solutes"), say("one_way"))
    require_equal_lengths(given, "masses", way)
    if way == "equivalents":
        return given.numbers("equivalents")
    rows = (
        only_row("sodium-chloride-equivalents", "equivalent", substance=name)
        for name in given.texts("solutes")
    )
    return tuple(Fraction(row["equivalent"]) for row in rows)


def _looked_up(given: Given) -> tuple[Finding, ...]:
    names = given.texts("solutes") if given.has("solutes") else ()
    return tuple(
        finding
        for name in names
        for finding in row_findings(
            only_row("sodium-chloride-equivalents", "equivalent", substance=name), name, "solutes"
        )
    )


def adjust_by_freezing_point(given: Given) -> Outcome:
    """Return what makes a solution isotonic, by depressions of the freezing point."""
    volume = given.amount("volume").to("mL")
    final = given.amount("diluted_to").to("mL") if given.has("diluted_to") else volume
    if final < volume:
        raise Refusal(say("not_diluted"))
    masses, found = _depression(given, volume, final)
    isotonic, one = given.number("isotonic_depression"), _one_percent(given)
    if found.result > isotonic:
        raise Refusal(say("hypertonic_by_depression", found=found.result, isotonic=isotonic))
    percent = (isotonic - found.result) / one.result
    adjuster = convenient(_percent_of(final, percent))
    results = (
        Result("adjuster", adjuster),
        *numbered("solute", map(convenient, masses)),
        Result("depression", Number(found.result, "°C")),
        Result("adjuster_percent", Concentration(percent, "% w/v")),
    )
    said = {"isotonic": isotonic, "found": found.result, "depression": one.result}
    steps = (
        *found.steps,
        *one.steps,
        say("step.adjuster_percent", percent=percent, **said),
        say("step.adjuster_mass", percent=percent, volume=final, adjuster=adjuster),
    )
    return Outcome(results, steps, _nothing_to_add(adjuster))


def _depression(
    given: Given, volume: Amount, final: Amount
) -> tuple[tuple[Amount, ...], Working[Fraction]]:
    """Return the solutes as masses, and their depression in the solution as used."""
    if given.has("strengths") != given.has("depressions"):
        raise Refusal(say("no_solutes"))
    if not given.has("strengths"):
        return (), Working(Fraction(0), ())
    require_equal_lengths(given, "strengths", "depressions")
    masses, first = _masses(given, "strengths", volume)
    percents = [mass.number / volume.number * WHOLE for mass in masses]
    pairs = list(zip(percents, given.numbers("depressions"), strict=True))
    whole = sum((percent * depression for percent, depression in pairs), Fraction(0))
    steps = (
        *first,
        *(
            say("step.depression", place=i, percent=p, depression=d, found=p * d)
            for i, (p, d) in enumerate(pairs, 1)
        ),
    )
    if final == volume:
        return masses, Working(whole, steps)
    found = whole * (volume / final)
    last = say("step.diluted", volume=volume, final=final, sum=whole, found=found)
    return masses, Working(found, (*steps, last))


def _one_percent(given: Given) -> Working[Fraction]:
    depression, percent = given.number("adjuster_depression"), given.number("adjuster_at")
    found = depression / percent
    if percent == 1:
        return Working(found, ())
    step = say("step.one_percent", depression=depression, percent=percent, found=found)
    return Working(found, (step,))


def isotonic_volume(given: Given) -> Outcome:
    """Return the volume of water that the solutes make isotonic."""
    masses, first = _in_the_whole(given)
    worth = sodium_chloride_worth(list(zip(masses, _equivalents(given), strict=True)))
    factor = given.number("factor")
    volume = Amount(worth.result.number * factor, "mL")
    results: tuple[Result, ...] = (
        Result("isotonic_volume", convenient(volume)),
        Result("sodium_chloride_equivalent", convenient(worth.result)),
    )
    last = say("step.volume", worth=worth.result, factor=factor, volume=volume)
    steps = (*first, *worth.steps, last)
    if not given.has("total"):
        return Outcome(results, steps, _looked_up(given))
    total = given.amount("total").to("mL")
    if volume > total:
        raise Refusal(say("hypertonic_volume", volume=volume, total=total))
    vehicle = total - volume
    rest = say("step.vehicle", total=total, volume=volume, vehicle=vehicle)
    results = (*results, Result("vehicle", convenient(vehicle)))
    return Outcome(results, (*steps[:-1], rest, last), _looked_up(given))


def _in_the_whole(given: Given) -> tuple[tuple[Amount, ...], tuple[Message, ...]]:
    """Return the solutes as masses; per cents are those of the whole preparation."""
    if given.has("total"):
        return _masses(given, "masses", given.amount("total").to("mL"))
    if not all(isinstance(each, Amount) for each in given.values["masses"]):
        raise Refusal(say("per_cent_of_what"))
    return given.amounts("masses"), ()


NUMBER = (Kind.NUMBER,)
VOLUME = (Kind.VOLUME,)
SOLUTES = (Kind.MASS, Kind.STRENGTH, Kind.PERCENT)
SOLUTE_UNITS = ("g", "mg", "% w/v", "mg/mL", "%")
NONE_AT_LEAST = Fraction(0)
EQUIVALENTS = Input(
    "equivalents", NUMBER, many=True, optional=True, positive=False, least=NONE_AT_LEAST
)
NAMES = Input(
    "solutes",
    (Kind.TEXT,),
    many=True,
    optional=True,
    suggested=names_in_table("sodium-chloride-equivalents"),
)
CALCULATIONS = (
    Calculation(
        "isotonicity",
        AREA,
        (
            Input("volume", VOLUME),
            Input("masses", SOLUTES, many=True, units=SOLUTE_UNITS),
            EQUIVALENTS,
            NAMES,
            Input("adjuster_equivalent", NUMBER, default="1", assumed=Severity.NOTE),
            Input("isotonic_part", VOLUME, optional=True),
            Input("isotonic_percent", (Kind.PERCENT,), default="0.9 %"),
        ),
        adjust,
        (
            ("volume", "10 mL"),
            ("masses", "0.08 g"),
            ("equivalents", "0.16"),
            ("adjuster_equivalent", "0.52"),
        ),
    ),
    Calculation(
        "isotonicity-by-freezing-point",
        AREA,
        (
            Input("volume", VOLUME),
            Input("strengths", SOLUTES, many=True, optional=True, units=SOLUTE_UNITS),
            Input(
                "depressions",
                NUMBER,
                many=True,
                optional=True,
                positive=False,
                least=NONE_AT_LEAST,
            ),
            Input("adjuster_depression", NUMBER, default="0.576", assumed=Severity.NOTE),
            Input("adjuster_at", (Kind.PERCENT,), default="1 %"),
            Input("isotonic_depression", NUMBER, default="0.52", assumed=Severity.NOTE),
            Input("diluted_to", VOLUME, optional=True),
        ),
        adjust_by_freezing_point,
        (
            ("volume", "30 mL"),
            ("strengths", "1 % w/v; 2 % w/v"),
            ("depressions", "0.14; 0.11"),
            ("isotonic_depression", "0.518"),
        ),
    ),
    Calculation(
        "isotonic-volume",
        AREA,
        (
            Input("masses", SOLUTES, many=True, units=SOLUTE_UNITS),
            EQUIVALENTS,
            NAMES,
            Input("factor", NUMBER, default="111.1"),
            Input("total", VOLUME, optional=True),
        ),
        isotonic_volume,
        (("masses", "0.06 g; 0.3 g"), ("equivalents", "0.23; 0.52"), ("total", "30 mL")),
    ),
)
