"""Ideal osmolarity of a solution, and osmolality from its freezing point."""

from __future__ import annotations

from fractions import Fraction

from formulary.calculating.choosing import given_one, numbered
from formulary.calculating.describing import Calculation, Input, Kind, speaker
from formulary.calculating.lists import require_equal_lengths
from formulary.calculating.outcome import Number, Outcome, Result, note
from formulary.calculating.strengths import part_unit, plain, shown
from formulary.calculating.values import Given
from formulary.errors import Refusal
from formulary.messages import Message
from formulary.quantity.amount import Amount, Concentration, OneIn
from formulary.quantity.writing import convenient

AREA = "osmolarity"
TEXTS = {
    "input": {
        "volume": "Volume of the solution",
        "masses": "Solutes (mass, amount of substance, or strength w/v)",
        "molar_masses": "Their molar masses, as weighed (with water of crystallisation)",
        "particles": "Particles into which one molecule parts",
        "coefficients": "Osmotic coefficients",
        "depression": "Freezing-point depression, °C",
        "osmolality": "Osmolality, mOsm/kg",
        "constant": "Depression of 1 Osm/kg, °C",
    },
    "result": {
        "amount": "Amount of substance",
        "osmoles": "Osmoles",
        "total": "Osmoles in all",
        "osmolarity": "Osmolarity",
        "osmolality": "Osmolality",
        "depression": "Freezing-point depression",
    },
    "osmolarity": {
        "title": "Osmolarity of a solution",
        "words": "mOsm/L, mOsmol, osmolality, osmoles, tonicity, infusion, dextrose, glucose",
        "about": "Milliosmoles of each solute and in one litre, from masses and molar masses.",
        "source": "mOsm = mmol x particles x osmotic coefficient; osmolarity = mOsm / litre.",
        "limits": "Ideal unless osmotic coefficients are given; the real figure is lower for "
        "salts.",
        "caution": "For injections and eye drops, measure the osmolality.",
    },
    "osmolality_by_freezing_point": {
        "title": "Osmolality by freezing point",
        "words": "mOsm/kg, osmometer, cryoscopic, tonicity",
        "about": "Osmolality from the freezing-point depression, or the reverse.",
        "source": "Ph. Eur. 2.2.35, from memory: depression = 1.86 °C x osmolality in Osm/kg.",
        "limits": "Watery solutions.",
        "caution": "Osmolality (by kg of water) and osmolarity (by litre) are different figures.",
    },
    "step": {
        "strength": "Solute {place}: {strength} of {volume} = {mass}",
        "amount": "Solute {place}: {mass} / {molar_mass} g/mol = {amount}",
        "osmoles": "Solute {place}: {amount} x {particles} x {coefficient} = {osmoles}",
        "osmolarity": "{total} / {volume} = {osmolarity}",
        "osmolality": "{depression} / {constant} = {osmolality} mOsm/kg",
        "depression": "{osmolality} mOsm/kg x {constant} = {depression} °C",
    },
    "ideal": "The osmotic coefficients are taken as 1: this is the ideal osmolarity.",
    "not_in_volume": "Solutes are per cent w/v or moles in a volume here, not {kind}.",
    "molar_masses_needed": "With masses, give a molar mass for each solute.",
    "one_of_two": "Give either the depression or the osmolality.",
}
say = speaker(AREA)
MILLI = 1000


def osmolarity(given: Given) -> Outcome:
    """Return milliosmoles of each solute and the osmolarity."""
    require_equal_lengths(given, "masses", "molar_masses", "particles", "coefficients")
    amounts, first = _amounts(given)
    particles = given.numbers("particles")
    coefficients = _coefficients(given, len(particles))
    rows = list(zip(amounts, particles, coefficients, strict=True))
    osmoles = [Amount(amount.number * n * phi, "mOsm") for amount, n, phi in rows]
    total = sum(osmoles, Amount(Fraction(0), "mOsm"))
    volume = given.amount("volume").to("L")
    found = Concentration(total / Amount(Fraction(1), "mOsm") / volume.number, "mOsm/L")
    results = (
        Result("osmolarity", found),
        Result("total", total),
        *numbered("osmoles", osmoles),
        *numbered("amount", amounts),
    )
    each = (
        say("step.osmoles", place=i, amount=a, particles=n, coefficient=phi, osmoles=osmoles[i - 1])
        for i, (a, n, phi) in enumerate(rows, 1)
    )
    last = say("step.osmolarity", total=total, volume=volume, osmolarity=found)
    findings = () if given.has("coefficients") else (note(say("ideal"), "coefficients"),)
    return Outcome(results, (*first, *each, last), findings)


def _amounts(given: Given) -> tuple[list[Amount], tuple[Message, ...]]:
    """Return the solutes in mmol, and the steps that turn masses into them."""
    found: list[Amount] = []
    steps: list[Message] = []
    for place, typed in enumerate(given.values["masses"], 1):
        value = _in_the_volume(typed, place, given.amount("volume"), steps)
        if value.unit in ("mol", "mmol", "micromole"):
            found.append(value.to("mmol"))
            continue
        if not given.has("molar_masses"):
            raise Refusal(say("molar_masses_needed"))
        molar_mass = given.numbers("molar_masses")[place - 1]
        found.append(Amount(value.to("mg").number / molar_mass, "mmol"))
        said = {"mass": convenient(value), "molar_mass": molar_mass, "amount": found[-1]}
        steps.append(say("step.amount", place=place, **said))
    return found, tuple(steps)


def _in_the_volume(
    typed: Amount | Concentration | OneIn | Fraction,
    place: int,
    volume: Amount,
    steps: list[Message],
) -> Amount:
    """Return a solute as an amount: as typed, or what so much of a strength holds."""
    if isinstance(typed, Amount):
        return typed
    strength = plain(typed)
    kind = strength.kind or "w/v"
    if kind not in ("w/v", "moles in volume"):
        raise Refusal(say("not_in_volume", kind=kind))
    number = volume.to("mL").number * strength.per_hundred / 100
    found = convenient(Amount(number, part_unit(kind)))
    said = {"strength": shown(strength.per_hundred, kind), "volume": volume, "mass": found}
    steps.append(say("step.strength", place=place, **said))
    return found


def _coefficients(given: Given, count: int) -> tuple[Fraction, ...]:
    if given.has("coefficients"):
        return given.numbers("coefficients")
    return (Fraction(1),) * count


def osmolality(given: Given) -> Outcome:
    """Return osmolality from depression, or depression from osmolality."""
    way = given_one(given, ("depression", "osmolality"), say("one_of_two"))
    constant = given.number("constant")
    if way == "depression":
        depression = given.number("depression")
        found = depression / constant * MILLI
        step = say("step.osmolality", depression=depression, constant=constant, osmolality=found)
        return Outcome((Result("osmolality", Number(found, "mOsm/kg")),), (step,))
    osmolal = given.number("osmolality")
    found = osmolal / MILLI * constant
    step = say("step.depression", osmolality=osmolal, constant=constant, depression=found)
    return Outcome((Result("depression", Number(found, "°C")),), (step,))


NUMBER = (Kind.NUMBER,)
CALCULATIONS = (
    Calculation(
        "osmolarity",
        AREA,
        (
            Input("volume", (Kind.VOLUME,)),
            Input(
                "masses",
                (Kind.MASS, Kind.SUBSTANCE, Kind.STRENGTH, Kind.PERCENT),
                many=True,
                units=("g", "mg", "mmol", "mol", "% w/v", "mg/mL", "mmol/L", "%"),
            ),
            Input("molar_masses", (Kind.MOLAR_MASS,), many=True, optional=True),
            Input("particles", NUMBER, many=True),
            Input("coefficients", NUMBER, many=True, optional=True),
        ),
        osmolarity,
        (("volume", "1 L"), ("masses", "9 g"), ("molar_masses", "58.44"), ("particles", "2")),
    ),
    Calculation(
        "osmolality-by-freezing-point",
        AREA,
        (
            Input("depression", NUMBER, optional=True),
            Input("osmolality", NUMBER, optional=True),
            Input("constant", NUMBER, default="1.86"),
        ),
        osmolality,
        (("depression", "0.52"),),
    ),
)
