"""Dilution and mixing of ethanol, whose volumes don't add: every sum goes through the masses."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from formulary.calculating import ethanol_water as water
from formulary.calculating.brief import brief_results, brief_speaker
from formulary.calculating.choosing import given_one
from formulary.calculating.describing import Calculation, Input, Kind
from formulary.calculating.lists import require_equal_lengths
from formulary.calculating.outcome import Number, Outcome, Result, note
from formulary.calculating.values import Given
from formulary.calculations.ethanol_strength import (
    HUNDRED,
    SCALE,
    TEMPERATURE,
    mass_fraction,
    reading_step,
    volume_percent,
    weighed,
)
from formulary.errors import Refusal
from formulary.finding import Finding, Severity
from formulary.messages import Message
from formulary.quantity.amount import Amount, Concentration
from formulary.quantity.writing import convenient

AREA = "ethanol"
TEXTS = {
    "input": {
        "stock_strength": "Strength of the ethanol at hand",
        "target_strength": "Strength wanted",
        "diluent_strength": "Strength of the diluent (water: 0 % v/v)",
        "target": "Amount to make",
        "stock": "Ethanol at hand",
        "temperature": "Temperature at which volumes are measured",
        "scale": "Temperature to which % v/v refers",
        "amounts": "Amounts to mix",
        "strengths": "Their strengths (water: 0 % v/v)",
    },
    "result": {
        "stock_volume": "Ethanol to take, by volume",
        "stock_mass": "Ethanol to take, by mass",
        "diluent_volume": "Water or weaker ethanol to add, by volume",
        "diluent_mass": "Water or weaker ethanol to add, by mass",
        "total_volume": "Volume made",
        "total_mass": "Mass made",
        "contraction": "Lost by contraction (below zero: gained)",
        "volume_percent": "Strength by volume",
        "weight_percent": "Strength by mass",
        "density": "Density at the temperature",
    },
    "ethanol_dilution": {
        "title": "Dilution of ethanol",
        "words": "alcohol, spirit, proof, contraction, OIML, 70 percent, 96 percent, "
        "disinfectant, dilute",
        "about": "Ethanol and water for a weaker ethanol, by mass and by volume, with the "
        "contraction counted.",
        "source": "OIML R 22 (1975), general formula; coefficients as reprinted in the annex of "
        "Directive 76/766/EEC. Masses of ethanol and of the mixture are conserved.",
        "limits": "Mixtures of ethanol and water alone, −20 to 40 °C. All volumes are measured at "
        "one temperature.",
        "caution": "Volumes of ethanol and water don’t add. Mixing warms: measure volumes when "
        "all is back at the temperature, or weigh. Ethanol is highly flammable.",
    },
    "ethanol_mixture": {
        "title": "Mixture of ethanols and water",
        "words": "alcohol, spirit, proof, contraction, OIML, blend",
        "about": "Strength, volume and contraction when ethanols of known strength and water are "
        "mixed.",
        "source": "OIML R 22 (1975), general formula. Masses of ethanol and of the mixture are "
        "conserved.",
        "limits": "Mixtures of ethanol and water alone, −20 to 40 °C. All volumes are measured at "
        "one temperature.",
        "caution": "Mixing warms: the volume is that at the temperature stated.",
    },
    "step": {
        "total": "{volume} x {density} g/mL = {mass}",
        "stock": "{mass} x ({target} % − {weak} %) / ({strong} % − {weak} %) = {stock}, by mass",
        "from_stock": "{stock} x ({strong} % − {weak} %) / ({target} % − {weak} %) = {mass} in "
        "all, by mass",
        "diluent": "{mass} − {stock} = {diluent} of diluent",
        "volume": "{mass} / {density} g/mL = {volume} at {temperature} °C",
        "contraction": "{stock} + {diluent} − {total} = {contraction} lost by contraction",
        "mix": "Take {stock} ({stock_mass}) and {diluent} ({diluent_mass}) for {total} ({mass}).",
        "part": "{volume} x {density} g/mL = {mass}, with {pure} of ethanol",
        "sum": "{pure} / {mass} = {percent} % w/w",
        "mixed": "{mass} / {density} g/mL = {volume} of {strength}",
    },
    "one_of_two": "Give either the amount to make or the ethanol at hand.",
    "outside": "The strength wanted must lie between those of the diluent and of the ethanol at "
    "hand.",
    "scale_note": "% v/v is that of {scale} °C; volumes are measured at {temperature} °C.",
}
say = brief_speaker(AREA)


@dataclass(frozen=True, slots=True)
class Spirit:
    """An amount of ethanol of one strength at one temperature."""

    fraction: Fraction
    density: Fraction
    mass: Amount
    volume: Amount


@dataclass(frozen=True, slots=True)
class Conditions:
    """Temperature of measuring, and that to which strengths by volume refer, both in °C."""

    temperature: Fraction
    scale: Fraction

    def of(self, strength: Concentration) -> Fraction:
        """Return the mass fraction of a strength."""
        return mass_fraction(strength, self.scale)

    def weighed(self, fraction: Fraction, amount: Amount) -> Spirit:
        """Return an amount, by mass or by volume, with both."""
        density = water.density(fraction, self.temperature)
        return Spirit(fraction, density, *weighed(amount, density))


def _conditions(given: Given) -> Conditions:
    return Conditions(given.number("temperature"), given.number("scale"))


@dataclass(frozen=True, slots=True)
class Dilution:
    """What is taken and what is made; the volumes lost are the contraction."""

    stock: Spirit
    diluent: Spirit
    total: Spirit

    @property
    def contraction(self) -> Amount:
        """The volume by which the parts are more than the whole."""
        return self.stock.volume + self.diluent.volume - self.total.volume


def for_total(total: Spirit, strong: Fraction, weak: Fraction, at: Conditions) -> Dilution:
    """Return what an amount to make takes of a stronger and a weaker ethanol.

    Raises Refusal unless the strength wanted lies between the two.
    """
    _require_between(strong, total.fraction, weak)
    stock = total.mass * ((total.fraction - weak) / (strong - weak))
    return Dilution(at.weighed(strong, stock), at.weighed(weak, total.mass - stock), total)


def from_stock(stock: Spirit, target: Fraction, weak: Fraction, at: Conditions) -> Dilution:
    """Return what can be made of an amount at hand. Raises Refusal as :func:`for_total`."""
    _require_between(stock.fraction, target, weak)
    mass = stock.mass * ((stock.fraction - weak) / (target - weak))
    total = at.weighed(target, mass)
    return Dilution(stock, at.weighed(weak, mass - stock.mass), total)


def _require_between(strong: Fraction, target: Fraction, weak: Fraction) -> None:
    if not weak < target < strong:
        raise Refusal(say("outside"))


def dilute(given: Given) -> Outcome:
    """Return ethanol, diluent and total, by mass and by volume."""
    at = _conditions(given)
    names = ("stock_strength", "target_strength", "diluent_strength")
    strengths = [given.strength(name) for name in names]
    strong, target, weak = (at.of(each) for each in strengths)
    if given_one(given, ("target", "stock"), say("one_of_two")) == "target":
        found = for_total(at.weighed(target, given.amount("target")), strong, weak, at)
    else:
        found = from_stock(at.weighed(strong, given.amount("stock")), target, weak, at)
    steps = (
        *map(reading_step, strengths, [at.scale] * len(strengths), (strong, target, weak)),
        *_mass_steps(found, by_stock=given.has("stock")),
        *_volume_steps(found, at.temperature),
    )
    return Outcome(_results(found), steps, _findings(at))


def _results(found: Dilution) -> tuple[Result, ...]:
    named = {"stock": found.stock, "diluent": found.diluent, "total": found.total}
    amounts = {
        f"{name}_{measure}": getattr(spirit, measure)
        for name, spirit in named.items()
        for measure in ("volume", "mass")
    }
    amounts["contraction"] = found.contraction
    return brief_results(*(Result(name, convenient(each)) for name, each in amounts.items()))


def _findings(at: Conditions) -> tuple[Finding, ...]:
    return (note(say("scale_note", scale=at.scale, temperature=at.temperature), "scale"),)


def _mass_steps(found: Dilution, *, by_stock: bool) -> tuple[Message, ...]:
    stock, total = found.stock, found.total
    percents = {
        "strong": stock.fraction * HUNDRED,
        "target": total.fraction * HUNDRED,
        "weak": found.diluent.fraction * HUNDRED,
    }
    first = stock if by_stock else total
    return (
        say("step.total", volume=first.volume, density=first.density, mass=first.mass),
        say(
            "step.from_stock" if by_stock else "step.stock",
            mass=total.mass,
            stock=stock.mass,
            **percents,
        ),
        say("step.diluent", mass=total.mass, stock=stock.mass, diluent=found.diluent.mass),
    )


def _volume_steps(found: Dilution, temperature: Fraction) -> tuple[Message, ...]:
    stock, diluent, total = found.stock, found.diluent, found.total
    volumes = {"stock": stock.volume, "diluent": diluent.volume, "total": total.volume}
    masses = {"stock_mass": stock.mass, "diluent_mass": diluent.mass, "mass": total.mass}
    return (
        *(
            say(
                "step.volume",
                mass=each.mass,
                density=each.density,
                volume=each.volume,
                temperature=temperature,
            )
            for each in (stock, diluent, total)
        ),
        say("step.contraction", contraction=found.contraction, **volumes),
        say("step.mix", **volumes, **masses),
    )


def mix(given: Given) -> Outcome:
    """Return strength, volume and contraction of a mixture."""
    require_equal_lengths(given, "amounts", "strengths")
    at = _conditions(given)
    strengths = given.strengths("strengths")
    parts = [
        at.weighed(at.of(strength), amount)
        for strength, amount in zip(strengths, given.amounts("amounts"), strict=True)
    ]
    mass = sum((part.mass.number for part in parts), Fraction(0))
    pure = sum((part.mass.number * part.fraction for part in parts), Fraction(0))
    whole = at.weighed(pure / mass, Amount(mass, "g"))
    apart = sum((part.volume.number for part in parts), Fraction(0))
    strength = volume_percent(whole.fraction, at.scale)
    results = brief_results(
        Result("total_volume", convenient(whole.volume)),
        Result("total_mass", convenient(whole.mass)),
        Result("volume_percent", strength),
        Result("weight_percent", Concentration(whole.fraction * HUNDRED, "% w/w")),
        Result("density", Number(whole.density, "g/mL", rounded=True)),
        Result("contraction", convenient(Amount(apart - whole.volume.number, "mL"))),
    )
    readings = (
        reading_step(s, at.scale, p.fraction) for s, p in zip(strengths, parts, strict=True)
    )
    steps = (*readings, *_mixing_steps(parts, whole, strength))
    return Outcome(results, steps, _findings(at))


def _mixing_steps(
    parts: list[Spirit], whole: Spirit, strength: Concentration
) -> tuple[Message, ...]:
    return (
        *(
            say(
                "step.part",
                volume=part.volume,
                density=part.density,
                mass=part.mass,
                pure=part.mass * part.fraction,
            )
            for part in parts
        ),
        say(
            "step.sum",
            pure=whole.mass * whole.fraction,
            mass=whole.mass,
            percent=whole.fraction * HUNDRED,
        ),
        say(
            "step.mixed",
            mass=whole.mass,
            density=whole.density,
            volume=whole.volume,
            strength=strength,
        ),
    )


STRENGTH = (Kind.STRENGTH,)
PERCENTS = ("% v/v", "% w/w", "% w/v")
AMOUNT = (Kind.VOLUME, Kind.MASS)
CALCULATIONS = (
    Calculation(
        "ethanol-dilution",
        AREA,
        (
            Input("stock_strength", STRENGTH, units=PERCENTS),
            Input("target_strength", STRENGTH, units=PERCENTS),
            Input("target", AMOUNT, optional=True),
            Input("stock", AMOUNT, optional=True),
            Input(
                "diluent_strength",
                STRENGTH,
                units=PERCENTS,
                default="0 % v/v",
                positive=False,
                assumed=Severity.NOTE,
            ),
            TEMPERATURE,
            SCALE,
        ),
        dilute,
        (
            ("stock_strength", "96 % v/v"),
            ("target_strength", "70 % v/v"),
            ("target", "1000 mL"),
        ),
    ),
    Calculation(
        "ethanol-mixture",
        AREA,
        (
            Input("amounts", AMOUNT, many=True),
            Input("strengths", STRENGTH, many=True, positive=False, units=PERCENTS),
            TEMPERATURE,
            SCALE,
        ),
        mix,
        (("amounts", "50 mL; 50 mL"), ("strengths", "96 % v/v; 0 % v/v")),
    ),
)
