"""Density: mass and volume of a liquid, the pycnometer, solids, and assayed concentrated acids."""

from __future__ import annotations

from fractions import Fraction

from formulary.calculating.choosing import given_one, left_out
from formulary.calculating.describing import Calculation, Input, Kind, speaker
from formulary.calculating.outcome import Number, Outcome, Result, note
from formulary.calculating.values import Given
from formulary.errors import Refusal, UnitMismatch
from formulary.finding import Finding, Severity
from formulary.messages import Message, message
from formulary.quantity import units
from formulary.quantity.amount import Amount, Concentration
from formulary.quantity.units import Dimension
from formulary.quantity.writing import convenient

AREA = "density"
TEXTS = {
    "input": {
        "mass": "Mass",
        "volume": "Volume",
        "density": "Density",
        "empty": "Pycnometer, empty and dry",
        "with_water": "Pycnometer filled with water",
        "with_liquid": "Pycnometer filled with the liquid",
        "water_density": "Density of water at that temperature",
        "air_density": "Density of air, to correct for its buoyancy",
        "solid": "Solid weighed in",
        "filled": "Pycnometer filled with the liquid alone",
        "with_solid": "Pycnometer with the solid, filled up with the liquid",
        "liquid_density": "Density of the liquid",
        "assay": "Assay (w/w)",
        "pure": "Pure substance needed",
        "target": "Volume to make",
        "target_strength": "Strength wanted",
        "molar_mass": "Molar mass, for a strength in mol/L",
    },
    "result": {
        "mass": "Mass",
        "volume": "Volume",
        "density": "Density",
        "relative_density": "Relative density",
        "capacity": "Volume of the pycnometer",
        "displaced": "Liquid displaced",
        "pure": "Pure substance",
        "acid_per_ml": "Pure substance in one mL",
        "strength_wv": "Strength of the concentrate",
    },
    "mass_and_volume": {
        "title": "Mass and volume",
        "words": "density, specific gravity, sp.gr., SG, relative density, mL to g, g to mL, "
        "weight of a liquid",
        "about": "Mass, volume or density of a liquid from the other two.",
        "source": "Density is mass in volume; relative density to water at 4 °C is the same "
        "figure.",
        "limits": "One substance at one temperature.",
        "caution": "Use the density of the lot or the monograph at the temperature of the room.",
    },
    "pycnometer": {
        "title": "Pycnometer",
        "words": "specific gravity, sp.gr., SG, relative density, density bottle",
        "about": "Density and relative density of a liquid from three weighings of one vessel.",
        "source": "The same volume of water and of liquid, weighed (Ph. Eur. 2.2.5, from memory). "
        "Water at 20 °C: 0.9982 g/mL, OIML R 22.",
        "limits": "All weighings at one temperature, the vessel dry outside and free of bubbles.",
        "caution": "Give the density of water for the temperature at which it was filled.",
    },
    "density_of_a_solid": {
        "title": "Density of a solid",
        "words": "specific gravity, true density, displacement, pycnometer, powder",
        "about": "From the liquid that a weighed solid displaces in a pycnometer.",
        "source": "A solid displaces its own volume; conservation of mass.",
        "limits": "The liquid wets the solid and doesn’t dissolve it.",
        "caution": "Air left between the grains makes the solid seem lighter.",
    },
    "concentrated_acid": {
        "title": "Concentrated acid by assay and density",
        "words": "hydrochloric acid, sulfuric acid, ammonia, HCl, specific gravity, dilute "
        "acid, w/w to w/v, molar",
        "about": "Volume of a concentrated liquid that holds the pure substance needed.",
        "source": "Pure substance in one mL = density x assay (w/w).",
        "limits": "Assay and density as the lot’s label or certificate states them.",
        "caution": "Pour acid into water, slowly and cooled, never water into acid. "
        "Wear protection and follow local rules.",
    },
    "step": {
        "mass": "{volume} x {density} = {mass}",
        "volume": "{mass} / {density} = {volume}",
        "density": "{mass} / {volume} = {density}",
        "water": "{with_water} − {empty} = {water} of water",
        "liquid": "{with_liquid} − {empty} = {liquid} of liquid",
        "capacity": "{water} / {divisor} = {capacity}, the volume of the pycnometer",
        "relative": "{liquid} / {water} = {relative_density}, the relative density",
        "liquid_density": "{relative_density} x {water_density} = {density}",
        "in_air": "{relative_density} x ({water_density} − {air_density}) + {air_density} "
        "= {density}",
        "displaced": "{filled} + {solid} − {with_solid} = {displaced} of liquid displaced",
        "displaced_volume": "{displaced} / {liquid_density} = {volume}",
        "per_ml": "{density} x {assay} % = {acid_per_ml} of pure substance",
        "strength_wv": "In 100 mL: {strength_wv}",
        "pure": "{target} of {target_strength} holds {pure}",
        "pure_molar": "{target} of {target_strength} x {molar_mass} g/mol holds {pure}",
        "acid_volume": "{pure} / {acid_per_ml} = {volume}",
        "acid_mass": "{pure} / {assay} % = {mass}, if it is weighed",
    },
    "two_of_three": "Give two of mass, volume and density; the third is found.",
    "pure_or_target": "Give either the pure substance needed, or the volume to make and its "
    "strength.",
    "not_filled": "A filled pycnometer must weigh more than the empty one.",
    "nothing_displaced": "These weighings leave no liquid displaced. Check them.",
    "stronger": "The strength wanted is above that of the concentrate, {strength}.",
    "molar_mass": "A strength in mol/L needs the molar mass.",
    "no_strength": "{strength} isn’t a strength by mass or by moles in a volume.",
    "make_up": "Make up to {target}: the volumes of acid and water don’t add.",
    "no_buoyancy": "Not corrected for the buoyancy of air; give its density (about 0.0012 g/mL) "
    "for that.",
}
say = speaker(AREA)


def mass_of_volume(volume: Amount, g_per_ml: Fraction) -> Amount:
    """Return the mass of a volume."""
    return convenient(Amount(volume.to("mL").number * g_per_ml, "g"))


def volume_of_mass(mass: Amount, g_per_ml: Fraction) -> Amount:
    """Return the volume of a mass."""
    return convenient(Amount(mass.to("g").number / g_per_ml, "mL"))


def through_density(amount: Amount, wanted: Dimension, g_per_ml: Fraction | None) -> Amount:
    """Return an amount as a mass or a volume, whichever is wanted.

    Raises :class:`formulary.errors.UnitMismatch` where a density is needed and there is none.
    """
    have = units.dimension(amount.unit)
    if have == wanted:
        return amount
    if g_per_ml is not None and {have, wanted} == {units.MASS, units.VOLUME}:
        return (mass_of_volume if have == units.VOLUME else volume_of_mass)(amount, g_per_ml)
    want = {units.MASS: "g", units.VOLUME: "mL"}.get(wanted, wanted)
    raise UnitMismatch(message("quantity.unit_mismatch", have=amount.unit, want=want))


def in_g_per_ml(number: Fraction) -> Concentration:
    """Return a density for a sentence or an answer."""
    return Concentration(number, "g/mL")


def mass_and_volume(given: Given) -> Outcome:
    """Return the one of mass, volume and density that wasn't given."""
    wanted = left_out(given, ("mass", "volume", "density"), say("two_of_three"))
    if wanted == "density":
        mass, volume = given.amount("mass"), given.amount("volume")
        number = mass.to("g").number / volume.to("mL").number
    else:
        number = given.number("density")
        found = given.amount("volume" if wanted == "mass" else "mass")
        mass = through_density(found, units.MASS, number)
        volume = through_density(found, units.VOLUME, number)
    density = in_g_per_ml(number)
    results = {
        "mass": Result("mass", mass),
        "volume": Result("volume", volume),
        "density": Result("density", density),
    }
    first = results.pop(wanted)
    rest = (*results.values(), Result("relative_density", Number(number)))
    step = say(f"step.{wanted}", mass=mass, volume=volume, density=density)
    return Outcome((first, *rest), (step,))


def pycnometer(given: Given) -> Outcome:
    """Return density and relative density of a liquid, in air corrected for buoyancy."""
    empty = given.amount("empty")
    water, liquid = given.amount("with_water") - empty, given.amount("with_liquid") - empty
    if water.number <= 0 or liquid.number <= 0:
        raise Refusal(say("not_filled"))
    water_density = given.number("water_density")
    air = given.number("air_density") if given.has("air_density") else Fraction(0)
    relative = liquid / water
    density = in_g_per_ml(relative * (water_density - air) + air)
    capacity = convenient(Amount(water.to("g").number / (water_density - air), "mL"))
    said = {"relative_density": relative, "water_density": in_g_per_ml(water_density)}
    last = "in_air" if air else "liquid_density"
    return Outcome(
        (
            Result("density", density),
            Result("relative_density", Number(relative)),
            Result("capacity", capacity),
        ),
        (
            say("step.water", with_water=given.amount("with_water"), empty=empty, water=water),
            say("step.liquid", with_liquid=given.amount("with_liquid"), empty=empty, liquid=liquid),
            say(
                "step.capacity",
                water=water,
                divisor=in_g_per_ml(water_density - air),
                capacity=capacity,
            ),
            say("step.relative", liquid=liquid, water=water, relative_density=relative),
            say(f"step.{last}", density=density, air_density=in_g_per_ml(air), **said),
        ),
        () if air else (note(say("no_buoyancy"), "air_density"),),
    )


def density_of_a_solid(given: Given) -> Outcome:
    """Return the density of a solid from the liquid it displaces."""
    solid, filled = given.amount("solid"), given.amount("filled")
    with_solid, liquid_density = given.amount("with_solid"), given.number("liquid_density")
    displaced = filled + solid - with_solid
    if displaced.number <= 0:
        raise Refusal(say("nothing_displaced"))
    volume = volume_of_mass(displaced, liquid_density)
    density = in_g_per_ml(solid.to("g").number / volume.to("mL").number)
    liquid = in_g_per_ml(liquid_density)
    return Outcome(
        (
            Result("density", density),
            Result("volume", volume),
            Result("displaced", convenient(displaced)),
        ),
        (
            say(
                "step.displaced",
                filled=filled,
                solid=solid,
                with_solid=with_solid,
                displaced=convenient(displaced),
            ),
            say(
                "step.displaced_volume",
                displaced=convenient(displaced),
                liquid_density=liquid,
                volume=volume,
            ),
            say("step.density", mass=solid, volume=volume, density=density),
        ),
    )


def concentrated_acid(given: Given) -> Outcome:
    """Return what one mL of a concentrate holds, and how much of it a preparation takes."""
    assay, density = given.number("assay"), given.number("density")
    per_ml = density * assay / 100
    strength_wv = Concentration(per_ml * 100, "% w/v")
    acid_per_ml = in_g_per_ml(per_ml)
    steps = [
        say("step.per_ml", density=in_g_per_ml(density), assay=assay, acid_per_ml=acid_per_ml),
        say("step.strength_wv", strength_wv=strength_wv),
    ]
    results = [Result("acid_per_ml", acid_per_ml), Result("strength_wv", strength_wv)]
    if not any(given.has(name) for name in ("pure", "target", "target_strength")):
        return Outcome(tuple(results), tuple(steps))
    pure = _pure(given, strength_wv)
    volume = volume_of_mass(pure, per_ml)
    mass = convenient(pure * (100 / assay))
    findings: tuple[Finding, ...] = ()
    if given.has("target"):
        steps.append(_pure_said(given, pure))
        findings = (note(say("make_up", target=given.amount("target"))),)
    steps.append(say("step.acid_mass", pure=pure, assay=assay, mass=mass))
    steps.append(say("step.acid_volume", pure=pure, acid_per_ml=acid_per_ml, volume=volume))
    main = (Result("volume", volume), Result("mass", mass), Result("pure", pure))
    return Outcome((*main, *results), tuple(steps), findings)


def _pure(given: Given, concentrate: Concentration) -> Amount:
    if given_one(given, ("pure", "target"), say("pure_or_target")) == "pure":
        return given.amount("pure")
    if not given.has("target_strength"):
        raise Refusal(say("pure_or_target"))
    per_ml = _grams_per_ml(given.strength("target_strength"), given)
    if per_ml * 100 > concentrate.number:
        raise Refusal(say("stronger", strength=concentrate))
    return mass_of_volume(given.amount("target"), per_ml)


def _pure_said(given: Given, pure: Amount) -> Message:
    said = {"target": given.amount("target"), "target_strength": given.strength("target_strength")}
    if "mol" in given.strength("target_strength").unit:
        return say("step.pure_molar", molar_mass=given.number("molar_mass"), pure=pure, **said)
    return say("step.pure", pure=pure, **said)


def _grams_per_ml(strength: Concentration, given: Given) -> Fraction:
    """Return g of pure substance in one mL of a strength w/v or in moles."""
    if strength.unit == "% w/v":
        return strength.number / 100
    if strength.unit not in units.PERCENTS:
        part, whole = units.split_concentration(strength.unit)
        found = units.dimension(part), units.dimension(whole)
        per_ml = strength.number * units.factor("mL", whole) if found[1] == units.VOLUME else None
        if per_ml is not None and found[0] == units.MASS:
            return per_ml * units.factor(part, "g")
        if per_ml is not None and found[0] == Dimension.SUBSTANCE:
            if not given.has("molar_mass"):
                raise Refusal(say("molar_mass"))
            return per_ml * units.factor(part, "mol") * given.number("molar_mass")
    raise Refusal(say("no_strength", strength=strength))


MASS, VOLUME, DENSITY = (Kind.MASS,), (Kind.VOLUME,), (Kind.DENSITY,)
_IN_VOLUME = ("% w/v", "g/L", "mol/L", "mmol/L")
CALCULATIONS = (
    Calculation(
        "mass-and-volume",
        AREA,
        (
            Input("mass", MASS, optional=True),
            Input("volume", VOLUME, optional=True),
            Input("density", DENSITY, optional=True),
        ),
        mass_and_volume,
        (("mass", "45 g"), ("density", "1.25 g/mL")),
    ),
    Calculation(
        "pycnometer",
        AREA,
        (
            Input("empty", MASS),
            Input("with_water", MASS),
            Input("with_liquid", MASS),
            Input("water_density", DENSITY, default="0.9982 g/mL", assumed=Severity.NOTE),
            Input("air_density", DENSITY, optional=True, most=Fraction(1, 100)),
        ),
        pycnometer,
        (("empty", "20 g"), ("with_water", "70 g"), ("with_liquid", "82.5 g")),
    ),
    Calculation(
        "density-of-a-solid",
        AREA,
        (
            Input("solid", MASS),
            Input("filled", MASS),
            Input("with_solid", MASS),
            Input("liquid_density", DENSITY),
        ),
        density_of_a_solid,
        (
            ("solid", "5 g"),
            ("filled", "60 g"),
            ("with_solid", "63 g"),
            ("liquid_density", "0.8 g/mL"),
        ),
    ),
    Calculation(
        "concentrated-acid",
        AREA,
        (
            Input("density", DENSITY),
            Input("assay", (Kind.PERCENT,), most=Fraction(100)),
            Input("pure", MASS, optional=True),
            Input("target", VOLUME, optional=True),
            Input("target_strength", (Kind.STRENGTH,), optional=True, units=_IN_VOLUME),
            Input("molar_mass", (Kind.MOLAR_MASS,), optional=True),
        ),
        concentrated_acid,
        (
            ("density", "1.18"),
            ("assay", "36.5 %"),
            ("target", "1000 mL"),
            ("target_strength", "10 % w/v"),
        ),
    ),
)
