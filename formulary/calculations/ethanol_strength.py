"""Strength of ethanol: by mass, by volume and by density, at any temperature of its table."""

from __future__ import annotations

from fractions import Fraction

from formulary.calculating import ethanol_water as water
from formulary.calculating.brief import brief_results, brief_speaker
from formulary.calculating.choosing import given_one
from formulary.calculating.describing import Calculation, Input, Kind
from formulary.calculating.outcome import Number, Outcome, Result, caution, note
from formulary.calculating.strengths import plain
from formulary.calculating.values import Given
from formulary.errors import Refusal
from formulary.finding import Finding, Severity
from formulary.messages import Message
from formulary.quantity import units
from formulary.quantity.amount import Amount, Concentration
from formulary.quantity.writing import convenient

AREA = "ethanol_strength"
TEXTS = {
    "input": {
        "strength": "Strength",
        "density": "Density",
        "relative_density": "Relative density, against water at the same temperature",
        "temperature": "Temperature at which volumes and densities are measured",
        "scale": "Temperature to which % v/v refers",
        "amount": "Amount of ethanol of this strength",
        "stock_strength": "Strength of the ethanol taken",
        "stock": "Volume of the ethanol taken",
        "total": "Made up with water to",
        "lowest": "Lowest strength allowed, % v/v",
        "highest": "Highest strength allowed, % v/v",
    },
    "result": {
        "weight_percent": "By mass",
        "volume_percent": "By volume at 20 °C",
        "volume_percent_at_60_f": "By volume at 15.56 °C (60 °F)",
        "grams_in_volume": "Grams of ethanol in 100 mL at 20 °C",
        "density": "Density at the temperature",
        "density_at_20_c": "Density at 20 °C",
        "relative_density": "Relative density, against water at the same temperature",
        "mass": "Mass",
        "volume": "Volume at the temperature",
        "volume_at_20_c": "Volume at 20 °C",
        "pure_mass": "Pure ethanol in it, by mass",
        "pure_volume": "Pure ethanol in it, by volume at 20 °C",
        "strength": "Strength obtained",
        "water": "Water that takes, about",
        "complies": "Within the limits given",
    },
    "ethanol_strength": {
        "title": "Strength and density of ethanol",
        "words": "alcohol, proof, specific gravity, alcoholometry, OIML, % v/v to % w/w, "
        "hydrometer",
        "about": "Turns one of % v/v, % w/w, % w/v and density into the others, on the 20 °C and "
        "the 15.56 °C (60 °F) scale.",
        "source": "OIML R 22 (1975), general formula; coefficients as reprinted in the annex of "
        "Directive 76/766/EEC.",
        "limits": "Mixtures of ethanol and water alone, −20 to 40 °C. Density in vacuum.",
        "caution": "A density found by weighing in air is lower by about 0.001 g/mL. Dissolved "
        "substances change the density, so that it doesn’t tell the strength.",
    },
    "ethanol_mass_and_volume": {
        "title": "Mass and volume of ethanol",
        "words": "alcohol, spirit, density, temperature, litres of pure alcohol, OIML",
        "about": "Weighs a volume of ethanol of known strength, or finds the volume of a mass, at "
        "the temperature of measuring and at 20 °C, and the pure ethanol in it.",
        "source": "OIML R 22 (1975), general formula.",
        "limits": "Mixtures of ethanol and water alone, −20 to 40 °C.",
        "caution": "The volume of one mass of ethanol grows by about 0.1 % for each °C.",
    },
    "ethanol_made_up": {
        "title": "Strength of ethanol made up to volume",
        "words": "alcohol, spirit, proof, dilute, make up to volume, OIML",
        "about": "What strength results when a volume of ethanol is made up with water to a mark.",
        "source": "Conservation of ethanol; OIML R 22 (1975) for the water and the temperature.",
        "limits": "Both volumes are measured at one temperature, −20 to 40 °C.",
        "caution": "Mixing warms: let it cool to the temperature before making up to the mark.",
    },
    "step": {
        "by_volume": "{strength} at {scale} °C is {percent} % w/w (OIML R 22, solved by halving)",
        "by_mass": "{strength} needs no temperature",
        "by_relative": "{relative} x {water} g/mL of water at {temperature} °C = {density} g/mL",
        "by_density": "{density} g/mL at {temperature} °C is {percent} % w/w (OIML R 22, solved by "
        "halving)",
        "density": "{percent} % w/w has {density} g/mL at {temperature} °C",
        "volumes": "{percent} % w/w x {density} / {pure} = {volume_percent} at {scale} °C",
        "mass": "{volume} at {temperature} °C x {density} g/mL = {mass}",
        "pure": "{mass} x {percent} % = {pure} of pure ethanol",
        "content": "{stock} x {density} g/mL x {percent} % = {pure} of ethanol in {total}",
        "made_up": "{pure} in {total} is {strength} at {scale} °C",
    },
    "one_of_two": "Give one of strength, density and relative density.",
    "over_pure": "{strength} is more than pure ethanol can be.",
    "no_strength": "{strength} can’t be a strength of ethanol. Give % v/v, % w/w or % w/v.",
    "off_density": "At {temperature} °C ethanol and water have densities from {least} to {most} "
    "g/mL.",
    "bigger": "What is made up must be more than the ethanol taken.",
    "not_20": "% v/v is taken at {scale} °C, which isn’t the 20 °C scale.",
    "outside": "The strength obtained is outside the limits given.",
}
HUNDRED = 100
US_SCALE = Fraction("15.56")
TEMPERATURE = Input(
    "temperature",
    (Kind.TEMPERATURE,),
    default="20 °C",
    positive=False,
    least=water.LEAST_TEMPERATURE,
    most=water.MOST_TEMPERATURE,
    assumed=Severity.NOTE,
)
SCALE = Input(
    "scale",
    (Kind.TEMPERATURE,),
    default="20 °C",
    least=Fraction(10),
    most=Fraction(30),
    assumed=Severity.NOTE,
)
say = brief_speaker(AREA)


def mass_fraction(strength: Concentration, scale: Fraction) -> Fraction:
    """Return the mass fraction of ethanol of a strength, by volume at ``scale`` °C.

    Raises Refusal for more than pure ethanol and for a strength of another kind.
    """
    read = plain(strength)
    part = read.per_hundred / HUNDRED
    if read.kind == "w/v":
        part /= water.density(Fraction(1), scale)
    elif read.kind not in ("v/v", "w/w"):
        raise Refusal(say("no_strength", strength=strength))
    if part > 1:
        raise Refusal(say("over_pure", strength=strength))
    return part if read.kind == "w/w" else water.mass_fraction_of_volume(part, scale)


def volume_percent(fraction: Fraction, scale: Fraction) -> Concentration:
    """Return the strength by volume at ``scale`` °C of a mass fraction."""
    return Concentration(water.volume_fraction(fraction, scale) * HUNDRED, "% v/v")


def convert(given: Given) -> Outcome:
    """Return every way of stating one strength."""
    given_one(given, ("strength", "density", "relative_density"), say("one_of_two"))
    temperature = given.number("temperature")
    fraction, first = _read(given, temperature)
    density = water.density(fraction, temperature)
    by_volume = volume_percent(fraction, water.REFERENCE)
    pure = water.density(Fraction(1), water.REFERENCE)
    density_20 = water.density(fraction, water.REFERENCE)
    percent = fraction * HUNDRED
    results = brief_results(
        Result("weight_percent", Concentration(percent, "% w/w")),
        Result("volume_percent", by_volume),
        Result("volume_percent_at_60_f", volume_percent(fraction, US_SCALE)),
        Result("grams_in_volume", Concentration(by_volume.number * pure, "% w/v")),
        Result("density", Number(density, "g/mL", rounded=True)),
        Result("density_at_20_c", Number(density_20, "g/mL", rounded=True)),
        Result("relative_density", Number(density / _water(temperature), rounded=True)),
    )
    steps = (
        *first,
        say("step.density", percent=percent, density=density, temperature=temperature),
        say(
            "step.volumes",
            percent=percent,
            density=density_20,
            pure=pure,
            volume_percent=by_volume,
            scale=water.REFERENCE,
        ),
    )
    return Outcome(results, steps, scale_findings(given.number("scale")))


def _water(temperature: Fraction) -> Fraction:
    return water.density(Fraction(0), temperature)


def _read(given: Given, temperature: Fraction) -> tuple[Fraction, tuple[Message, ...]]:
    """Return the mass fraction of what was given, and the steps that say so."""
    if given.has("strength"):
        strength, scale = given.strength("strength"), given.number("scale")
        fraction = mass_fraction(strength, scale)
        return fraction, (reading_step(strength, scale, fraction),)
    density, first = _density(given, temperature)
    fraction = _of_density(density, temperature)
    said = {"density": density, "temperature": temperature, "percent": fraction * HUNDRED}
    return fraction, (*first, say("step.by_density", **said))


def _density(given: Given, temperature: Fraction) -> tuple[Fraction, tuple[Message, ...]]:
    """Return the density in g/mL, and the step that finds it from a relative density."""
    if given.has("density"):
        return given.number("density"), ()
    relative, of_water = given.number("relative_density"), _water(temperature)
    found = relative * of_water
    said = {"relative": relative, "water": of_water, "density": found}
    return found, (say("step.by_relative", temperature=temperature, **said),)


def reading_step(strength: Concentration, scale: Fraction, fraction: Fraction) -> Message:
    """Return the step that says what a strength is by mass."""
    if strength.unit == "% w/w":
        return say("step.by_mass", strength=strength)
    return say("step.by_volume", strength=strength, scale=scale, percent=fraction * HUNDRED)


def _of_density(density: Fraction, temperature: Fraction) -> Fraction:
    most, least = (water.density(Fraction(p), temperature) for p in (0, 1))
    if not least <= density <= most:
        said = {"temperature": temperature, "least": least, "most": most}
        raise Refusal(say("off_density", **said))
    return water.mass_fraction_of_density(density, temperature)


def scale_findings(scale: Fraction) -> tuple[Finding, ...]:
    """Return a note if strengths by volume are on another scale than that of 20 °C."""
    return () if scale == water.REFERENCE else (note(say("not_20", scale=scale), "scale"),)


def weighed(amount: Amount, density: Fraction) -> tuple[Amount, Amount]:
    """Return an amount as its mass in g and its volume in mL."""
    if units.dimension(amount.unit) is units.VOLUME:
        volume = amount.to("mL")
        return Amount(volume.number * density, "g"), volume
    mass = amount.to("g")
    return mass, Amount(mass.number / density, "mL")


def mass_and_volume(given: Given) -> Outcome:
    """Return mass, volumes and pure ethanol of an amount of one strength."""
    strength, scale = given.strength("strength"), given.number("scale")
    temperature = given.number("temperature")
    fraction = mass_fraction(strength, scale)
    density = water.density(fraction, temperature)
    mass, volume = weighed(given.amount("amount"), density)
    pure = mass * fraction
    density_20, pure_20 = (water.density(p, water.REFERENCE) for p in (fraction, Fraction(1)))
    results = brief_results(
        Result("mass", convenient(mass)),
        Result("volume", convenient(volume)),
        Result("volume_at_20_c", convenient(Amount(mass.number / density_20, "mL"))),
        Result("pure_mass", convenient(pure)),
        Result("pure_volume", convenient(Amount(pure.number / pure_20, "mL"))),
    )
    percent, at = fraction * HUNDRED, {"density": density, "temperature": temperature}
    steps = (
        reading_step(strength, scale, fraction),
        say("step.density", percent=percent, **at),
        say("step.pure", mass=mass, percent=percent, pure=pure),
        say("step.mass", volume=volume, mass=mass, **at),
    )
    return Outcome(results, steps, scale_findings(scale))


def make_up(given: Given) -> Outcome:
    """Return the strength of a volume of ethanol made up with water to another volume."""
    stock, total = (given.amount(name).to("mL") for name in ("stock", "total"))
    if total <= stock:
        raise Refusal(say("bigger"))
    scale, temperature = given.number("scale"), given.number("temperature")
    strength = given.strength("stock_strength")
    fraction = mass_fraction(strength, scale)
    density = water.density(fraction, temperature)
    mass = stock * density
    pure = mass.number * fraction
    made = water.mass_fraction_of_content(pure / total.number, temperature)
    found = _obtained(strength, made, total / stock, direct=temperature == scale, scale=scale)
    whole_mass = total.number * water.density(made, temperature)
    taken = Amount(whole_mass - mass.number, "g")
    diluent = Amount(taken.number / water.density(Fraction(0), temperature), "mL")
    results = brief_results(Result("strength", found), Result("water", convenient(diluent)))
    amount = Amount(pure, "g")
    steps = (
        reading_step(strength, scale, fraction),
        say(
            "step.content",
            stock=stock,
            density=density,
            percent=fraction * HUNDRED,
            pure=amount,
            total=total,
        ),
        say("step.made_up", pure=amount, total=total, strength=found, scale=scale),
    )
    return _judged(given, found.number, Outcome(results, steps, scale_findings(scale)))


def _obtained(
    strength: Concentration, made: Fraction, factor: Fraction, *, direct: bool, scale: Fraction
) -> Concentration:
    """Return the strength by volume; without a change of temperature, exactly."""
    if direct and strength.unit == "% v/v":
        return Concentration(strength.number / factor, "% v/v")
    return volume_percent(made, scale)


def _judged(given: Given, percent: Fraction, outcome: Outcome) -> Outcome:
    """Return the outcome with the verdict on the limits, if any were given."""
    least, most = (given.values.get(name) for name in ("lowest", "highest"))
    if least is None and most is None:
        return outcome
    inside = (least is None or least <= percent) and (most is None or percent <= most)
    findings = outcome.findings if inside else (*outcome.findings, caution(say("outside")))
    return Outcome((*outcome.results, Result("complies", inside)), outcome.steps, findings)


PERCENT = (Kind.STRENGTH,)
PERCENTS = ("% v/v", "% w/w", "% w/v")
LIMIT = (Kind.PERCENT,)
CALCULATIONS = (
    Calculation(
        "ethanol-strength",
        AREA,
        (
            Input("strength", PERCENT, optional=True, positive=False, units=PERCENTS),
            Input("density", (Kind.DENSITY,), optional=True),
            TEMPERATURE,
            SCALE,
            Input("relative_density", (Kind.NUMBER,), optional=True),
        ),
        convert,
        (("strength", "50 % v/v"),),
    ),
    Calculation(
        "ethanol-mass-and-volume",
        AREA,
        (
            Input("amount", (Kind.VOLUME, Kind.MASS)),
            Input("strength", PERCENT, positive=False, units=PERCENTS),
            TEMPERATURE,
            SCALE,
        ),
        mass_and_volume,
        (("amount", "500 mL"), ("strength", "70 % v/v")),
    ),
    Calculation(
        "ethanol-made-up",
        AREA,
        (
            Input("stock_strength", PERCENT, units=PERCENTS),
            Input("stock", (Kind.VOLUME,)),
            Input("total", (Kind.VOLUME,)),
            TEMPERATURE,
            SCALE,
            Input("lowest", LIMIT, optional=True),
            Input("highest", LIMIT, optional=True),
        ),
        make_up,
        (
            ("stock_strength", "96.3 % v/v"),
            ("stock", "727 mL"),
            ("total", "1000 mL"),
            ("lowest", "69.5"),
            ("highest", "70.4"),
        ),
    ),
)
