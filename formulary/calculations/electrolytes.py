"""Electrolytes: mass, millimoles, milliequivalents and milliosmoles of a substance."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from formulary.calculating.describing import Calculation, Input, Kind, speaker
from formulary.calculating.outcome import Outcome, Result, note
from formulary.calculating.values import Given
from formulary.errors import Refusal
from formulary.finding import Finding
from formulary.messages import Message
from formulary.quantity import units
from formulary.quantity.amount import Amount, Concentration
from formulary.quantity.units import Dimension
from formulary.quantity.writing import convenient

AREA = "electrolytes"
TEXTS = {
    "input": {
        "amount": "Amount of the substance",
        "strength": "Strength of the liquid",
        "volume": "Volume of the liquid",
        "wanted": "Amount wanted, or amount for each kg of body weight",
        "body_weight": "Body weight",
        "molar_mass": "Molar mass or formula of the substance",
        "ions": "Ions of the kind looked for in one formula",
        "valence": "Charge of that ion",
        "particles": "Particles that one formula falls into, for osmoles",
        "masses": "Masses of the substances",
        "molar_masses": "Their molar masses or formulas",
        "ions_each": "Ions of the kind looked for in one formula of each",
    },
    "result": {
        "mass": "Mass of the substance",
        "substance": "Amount of the substance",
        "ions": "Amount of the ion",
        "equivalents": "Equivalents of the ion",
        "osmoles": "Osmoles",
        "percent": "Strength",
        "mass_strength": "Mass in a litre",
        "substance_strength": "Amount of substance in a litre",
        "ion_strength": "Amount of the ion in a litre",
        "equivalent_strength": "Equivalents in a litre",
        "osmolarity": "Osmolarity",
        "volume": "Volume that holds the amount wanted",
        "total_ions": "Amount of the ion in all",
        "total_equivalents": "Equivalents of the ion in all",
    },
    "millimoles_and_milliequivalents": {
        "title": "Milligrams, millimoles, milliequivalents and milliosmoles",
        "about": "Turns an amount of a substance from any of the four into the others.",
        "source": "mmol = mg / molar mass; mEq = mmol of the ion x its charge; "
        "mOsm = mmol x particles.",
        "limits": "Complete dissociation. An amount in mmol is of the whole formula; one in mEq "
        "is of the ion asked for.",
        "caution": "Say which ion is meant: calcium chloride holds two chlorides to one calcium.",
    },
    "electrolyte_strength": {
        "title": "Strength of an electrolyte solution",
        "about": "Per cent, mg, mmol, mEq and mOsm in a litre, what a volume holds, or the volume "
        "that holds an amount.",
        "source": "As for single amounts, in one litre; % w/v is g in 100 mL.",
        "limits": "Complete dissociation; osmolarity is calculated, not measured.",
        "caution": "Concentrated electrolytes are diluted before use. A calculated osmolarity "
        "leaves out how real solutions deviate.",
    },
    "ion_from_several_salts": {
        "title": "One ion from several salts",
        "about": "Adds up an ion that several substances bring with them.",
        "source": "The sum of mass / molar mass x ions in the formula.",
        "limits": "Complete dissociation. Lists are parted by semicolons, in one order.",
        "caution": "Count the water of crystallisation in the molar masses of hydrates.",
    },
    "step": {
        "from_mass": "{have} / {molar_mass} g/mol = {substance}",
        "from_equivalents": "{have} / ({ions} x {valence}) = {substance}",
        "from_osmoles": "{have} / {particles} particles = {substance}",
        "mass": "{substance} x {molar_mass} g/mol = {mass}",
        "equivalents": "{substance} x {ions} ions x {valence} charges = {equivalents}",
        "osmoles": "{substance} x {particles} particles = {osmoles}",
        "in_a_litre": "{strength} holds {have} in 1 L",
        "in_volume": "{volume} holds {share} times what 1 L does: {mass}, {equivalents}",
        "for_body": "{wanted} x {body_weight} = {amount}",
        "volume": "{amount} / {held} in 1 L = {volume}",
        "each": "{mass} / {molar_mass} g/mol x {ions} = {found}",
        "sum": "In all {total}, x {valence} charges = {equivalents}",
    },
    "particles_missing": "Osmoles need the number of particles that one formula falls into.",
    "wrong_strength": "{strength} isn’t an amount of a dissolved substance in a volume.",
    "wanted_per_what": "An amount wanted for the body is in mg, mmol or mEq for each kg.",
    "body_weight_missing": "{wanted} needs the body weight.",
    "body_weight_unused": "The body weight wasn’t used: the amount wanted is given as such.",
    "one_question": "Give a volume or an amount wanted, not both.",
    "ideal": "Osmoles are counted as if every particle were free.",
    "lists_differ": "The lists must be of one length, or the ions one figure for all.",
}
say = speaker(AREA)


@dataclass(frozen=True, slots=True)
class Electrolyte:
    """A substance: molar mass in g/mol, the ion looked for, and its particles if known."""

    molar_mass: Fraction
    ions: int = 1
    valence: int = 1
    particles: int | None = None

    def substance(self, have: Amount) -> Amount:
        """Return the mmol of the whole formula in an amount of any kind."""
        kind = units.dimension(have.unit)
        if kind is Dimension.SUBSTANCE:
            return have.to("mmol")
        if kind is Dimension.MASS:
            return Amount(have.to("mg").number / self.molar_mass, "mmol")
        if kind is Dimension.EQUIVALENTS:
            return Amount(have.to("mEq").number / (self.ions * self.valence), "mmol")
        return Amount(have.to("mOsm").number / self._free(), "mmol")

    def mass(self, substance: Amount) -> Amount:
        """Return the mass of so many mmol."""
        return convenient(Amount(substance.to("mmol").number * self.molar_mass, "mg"))

    def ion(self, substance: Amount) -> Amount:
        """Return the mmol of the ion in so many mmol of the formula."""
        return substance.to("mmol") * self.ions

    def equivalents(self, substance: Amount) -> Amount:
        """Return the mEq of the ion in so many mmol of the formula."""
        return Amount(self.ion(substance).number * self.valence, "mEq")

    def osmoles(self, substance: Amount) -> Amount:
        """Return the mOsm of so many mmol, if every particle were free."""
        return Amount(substance.to("mmol").number * self._free(), "mOsm")

    def _free(self) -> int:
        if self.particles is None:
            raise Refusal(say("particles_missing"))
        return self.particles


def convert(given: Given) -> Outcome:
    """Return one amount of a substance in every measure."""
    electrolyte, have = _electrolyte(given), given.amount("amount")
    substance = electrolyte.substance(have)
    steps = (*_to_substance(have, electrolyte), *_from_substance(substance, electrolyte))
    return Outcome(_measures(substance, electrolyte), steps, _ideal(electrolyte))


def _electrolyte(given: Given) -> Electrolyte:
    return Electrolyte(
        given.number("molar_mass"),
        given.count("ions"),
        given.count("valence"),
        given.count("particles") if given.has("particles") else None,
    )


def _to_substance(have: Amount, electrolyte: Electrolyte) -> tuple[Message, ...]:
    """Return the step from what is given to mmol, if it isn't given so."""
    kind = units.dimension(have.unit)
    said = {"have": have, "substance": electrolyte.substance(have)}
    if kind is Dimension.MASS:
        return (say("step.from_mass", molar_mass=electrolyte.molar_mass, **said),)
    if kind is Dimension.EQUIVALENTS:
        figures = {"ions": electrolyte.ions, "valence": electrolyte.valence}
        return (say("step.from_equivalents", **figures, **said),)
    if kind is Dimension.OSMOLES:
        return (say("step.from_osmoles", particles=electrolyte.particles or 0, **said),)
    return ()


def _from_substance(substance: Amount, electrolyte: Electrolyte) -> tuple[Message, ...]:
    mass = electrolyte.mass(substance)
    steps = [
        say("step.mass", substance=substance, molar_mass=electrolyte.molar_mass, mass=mass),
        say(
            "step.equivalents",
            substance=substance,
            ions=electrolyte.ions,
            valence=electrolyte.valence,
            equivalents=electrolyte.equivalents(substance),
        ),
    ]
    if electrolyte.particles is not None:
        osmoles = electrolyte.osmoles(substance)
        said = {"particles": electrolyte.particles, "osmoles": osmoles}
        steps.insert(1, say("step.osmoles", substance=substance, **said))
    return tuple(steps)


def _measures(substance: Amount, electrolyte: Electrolyte) -> tuple[Result, ...]:
    results = [
        Result("equivalents", electrolyte.equivalents(substance)),
        Result("substance", substance),
        Result("ions", electrolyte.ion(substance)),
        Result("mass", electrolyte.mass(substance)),
    ]
    if electrolyte.particles is not None:
        results.append(Result("osmoles", electrolyte.osmoles(substance)))
    return tuple(results)


def _ideal(electrolyte: Electrolyte) -> tuple[Finding, ...]:
    return () if electrolyte.particles is None else (note(say("ideal"), "particles"),)


def strength_of(given: Given) -> Outcome:
    """Return a strength in every measure, and what a volume holds or which volume is needed."""
    electrolyte = _electrolyte(given)
    strength, held = _in_a_litre(given)
    substance = electrolyte.substance(held)
    results = _strengths(substance, electrolyte)
    steps = (
        say("step.in_a_litre", strength=strength, have=held),
        *_to_substance(held, electrolyte),
        *_from_substance(substance, electrolyte),
    )
    if given.has("volume") and given.has("wanted"):
        raise Refusal(say("one_question"))
    findings = _ideal(electrolyte)
    if given.has("volume"):
        more, step = _held_in(given.amount("volume"), substance, electrolyte)
        return Outcome((*more, *results), (*steps, step), findings)
    if given.has("wanted"):
        wanted, first, doubts = _wanted(given)
        volume, step = _volume_for(wanted, substance, electrolyte)
        return Outcome((volume, *results), (*steps, *first, step), (*findings, *doubts))
    return Outcome(results, steps, findings)


def _in_a_litre(given: Given) -> tuple[Concentration, Amount]:
    """Return the strength, and what one litre holds; a bare per cent is one of w/v."""
    if given.is_strength("strength"):
        strength = given.strength("strength")
    else:
        strength = Concentration(given.number("strength"), "% w/v")
    if strength.unit == "% w/v":
        return strength, Amount(strength.number * 10, "g")
    part, _, whole = strength.unit.partition("/")
    measured = {Dimension.MASS, Dimension.SUBSTANCE, Dimension.EQUIVALENTS, Dimension.OSMOLES}
    if strength.unit in units.PERCENTS or units.dimension(part) not in measured:
        raise Refusal(say("wrong_strength", strength=strength))
    if units.dimension(whole) is not Dimension.VOLUME:
        raise Refusal(say("wrong_strength", strength=strength))
    return strength, Amount(strength.number * units.factor("L", whole), part)


def _strengths(substance: Amount, electrolyte: Electrolyte) -> tuple[Result, ...]:
    mass = electrolyte.mass(substance).to("mg").number
    equivalents = electrolyte.equivalents(substance).number
    found = [
        Result("equivalent_strength", Concentration(equivalents, "mEq/L")),
        Result("substance_strength", Concentration(substance.number, "mmol/L")),
        Result("ion_strength", Concentration(electrolyte.ion(substance).number, "mmol/L")),
        Result("mass_strength", Concentration(mass, "mg/L")),
        Result("percent", Concentration(mass / 10000, "% w/v")),
    ]
    if electrolyte.particles is not None:
        osmoles = electrolyte.osmoles(substance).number
        found.append(Result("osmolarity", Concentration(osmoles, "mOsm/L")))
    return tuple(found)


def _held_in(
    volume: Amount, substance: Amount, electrolyte: Electrolyte
) -> tuple[tuple[Result, ...], Message]:
    share = volume.to("L").number
    held = substance * share
    step = say(
        "step.in_volume",
        volume=volume,
        share=share,
        mass=electrolyte.mass(held),
        equivalents=electrolyte.equivalents(held),
    )
    return _measures(held, electrolyte), step


def _wanted(given: Given) -> tuple[Amount, tuple[Message, ...], tuple[Finding, ...]]:
    """Return the amount wanted, multiplied by the body weight where it is for each kg."""
    if given.is_amount("wanted"):
        unused = (note(say("body_weight_unused"), "body_weight"),)
        return given.amount("wanted"), (), unused if given.has("body_weight") else ()
    wanted = given.strength("wanted")
    part, _, whole = wanted.unit.partition("/")
    measured = {Dimension.MASS, Dimension.SUBSTANCE, Dimension.EQUIVALENTS}
    if whole != "kg" or units.dimension(part) not in measured:
        raise Refusal(say("wanted_per_what"))
    if not given.has("body_weight"):
        raise Refusal(say("body_weight_missing", wanted=wanted))
    weight = given.amount("body_weight")
    amount = Amount(wanted.number * weight.to("kg").number, part)
    return amount, (say("step.for_body", wanted=wanted, body_weight=weight, amount=amount),), ()


def _volume_for(
    wanted: Amount, substance: Amount, electrolyte: Electrolyte
) -> tuple[Result, Message]:
    share = electrolyte.substance(wanted) / substance
    volume = convenient(Amount(share, "L"))
    held = wanted * (1 / share)
    return Result("volume", volume), say("step.volume", amount=wanted, held=held, volume=volume)


def add_up(given: Given) -> Outcome:
    """Return an ion that several substances bring with them."""
    masses, molar = given.amounts("masses"), given.numbers("molar_masses")
    ions = given.numbers("ions_each")
    if len(ions) == 1:
        ions *= len(masses)
    if not len(masses) == len(molar) == len(ions):
        raise Refusal(say("lists_differ"))
    found, steps = Amount(Fraction(0), "mmol"), []
    for mass, molar_mass, count in zip(masses, molar, ions, strict=True):
        each = Amount(mass.to("mg").number / molar_mass * count, "mmol")
        found += each
        said = {"mass": mass, "molar_mass": molar_mass, "ions": count, "found": each}
        steps.append(say("step.each", **said))
    valence = given.count("valence")
    equivalents = Amount(found.number * valence, "mEq")
    steps.append(say("step.sum", total=found, valence=valence, equivalents=equivalents))
    results = (Result("total_equivalents", equivalents), Result("total_ions", found))
    return Outcome(results, tuple(steps))


COUNT, MOLAR = (Kind.COUNT,), (Kind.MOLAR_MASS,)
_IONS = (
    Input("molar_mass", MOLAR),
    Input("ions", COUNT, default="1", most=Fraction(100)),
    Input("valence", COUNT, default="1", most=Fraction(7)),
    Input("particles", COUNT, optional=True, most=Fraction(100)),
)
_AMOUNT = (Kind.MASS, Kind.SUBSTANCE, Kind.EQUIVALENTS)
CALCULATIONS = (
    Calculation(
        "millimoles-and-milliequivalents",
        AREA,
        (Input("amount", (*_AMOUNT, Kind.OSMOLES)), *_IONS),
        convert,
        (("amount", "1 g"), ("molar_mass", "KCl"), ("particles", "2")),
    ),
    Calculation(
        "electrolyte-strength",
        AREA,
        (
            Input("strength", (Kind.STRENGTH, Kind.PERCENT), units=("% w/v", "mmol/L", "mEq/L")),
            *_IONS,
            Input("volume", (Kind.VOLUME,), optional=True),
            Input("wanted", (*_AMOUNT, Kind.STRENGTH), optional=True),
            Input("body_weight", (Kind.MASS,), optional=True, units=("kg",)),
        ),
        strength_of,
        (("strength", "0.9 % w/v"), ("molar_mass", "NaCl"), ("particles", "2")),
    ),
    Calculation(
        "ion-from-several-salts",
        AREA,
        (
            Input("masses", (Kind.MASS,), many=True),
            Input("molar_masses", MOLAR, many=True),
            Input("ions_each", COUNT, many=True, default="1", most=Fraction(100)),
            Input("valence", COUNT, default="1", most=Fraction(7)),
        ),
        add_up,
        (("masses", "500 mg; 500 mg"), ("molar_masses", "98; 100"), ("ions_each", "1; 1")),
    ),
)
