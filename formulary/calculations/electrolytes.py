"""Electrolytes: mass, millimoles, milliequivalents and milliosmoles of a substance."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from formulary.calculating.body import weight_doubts
from formulary.calculating.describing import Calculation, Input, Kind, speaker
from formulary.calculating.electrolyte import (
    Counted,
    Electrolyte,
    charge_of,
    electrolyte,
    named_ions,
)
from formulary.calculating.ions import Ion, ions_of
from formulary.calculating.outcome import Outcome, Result, caution, note
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
        "ion": "Ion to be counted (calcium, Ca, Cl)",
        "valence": "Charge of that ion, if the formula doesn’t tell",
        "ions": "How many of that ion one formula holds, if it doesn’t tell",
        "particles": "Particles that one formula falls into, for osmoles",
        "masses": "Masses of the substances",
        "molar_masses": "Their molar masses or formulas",
        "ions_each": "How many of that ion one formula of each holds, if it doesn’t tell",
    },
    "result": {
        "mass": "Mass of the substance",
        "substance": "Amount of the substance",
        "ions": "Amount of the ion",
        "equivalents": "Equivalents of the ion",
        "other_ions": "Amount of the other ion",
        "other_equivalents": "Equivalents of the other ion",
        "osmoles": "Osmoles",
        "percent": "Strength",
        "mass_strength": "Mass in a litre",
        "substance_strength": "Amount of substance in a litre",
        "ion_strength": "Amount of the ion in a litre",
        "equivalent_strength": "Equivalents in a litre",
        "other_ion_strength": "Amount of the other ion in a litre",
        "other_equivalent_strength": "Equivalents of the other ion in a litre",
        "osmolarity": "Osmolarity",
        "volume": "Volume that holds the amount wanted",
        "total_ions": "Amount of the ion in all",
        "total_equivalents": "Equivalents of the ion in all",
    },
    "millimoles_and_milliequivalents": {
        "title": "Milligrams, millimoles, milliequivalents and milliosmoles",
        "words": "mEq, mmol, mg, mOsm, milliequivalent, valence, charge, electrolyte, sodium, "
        "potassium, calcium, magnesium, chloride, molar",
        "about": "Turns an amount of a substance from any of the four into the others.",
        "source": "mmol = mg / molar mass; mEq = mmol of the ion x its charge; "
        "mOsm = mmol x particles.",
        "limits": "Complete dissociation. An amount in mmol is of the whole formula; one in mEq "
        "is of the ion counted. Ions and charges come from the formula if the table of ions knows "
        "them; of any other substance the charge is typed.",
        "caution": "Say which ion is meant: calcium chloride holds two chlorides to one calcium.",
    },
    "electrolyte_strength": {
        "title": "Strength of an electrolyte solution",
        "words": "mEq/L, mmol/L, mEq, mmol, molarity, molar, saline, infusion, valence, "
        "sodium, potassium, calcium, chloride",
        "about": "Per cent, mg, mmol, mEq and mOsm in a litre, what a volume holds, or the volume "
        "that holds an amount.",
        "source": "As for single amounts, in one litre; % w/v is g in 100 mL.",
        "limits": "Complete dissociation; osmolarity is calculated, not measured.",
        "caution": "Concentrated electrolytes are diluted before use. A calculated osmolarity "
        "leaves out how real solutions deviate.",
    },
    "ion_from_several_salts": {
        "title": "One ion from several salts",
        "words": "mEq, mmol, total potassium, total sodium, total chloride, phosphate, "
        "parenteral nutrition, electrolytes",
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
        "equivalents": "{ion}: {substance} x {ions} in one formula = {amount}, x {valence} for its "
        "charge = {equivalents}",
        "ions": "{substance} x {ions} of the ion in one formula = {amount}",
        "osmoles": "{substance} x {particles} particles = {osmoles}",
        "in_a_litre": "{strength} holds {have} in 1 L",
        "in_volume": "{volume} holds {share} times what 1 L does: {mass}, {amount}",
        "for_body": "{wanted} x {body_weight} = {amount}",
        "volume": "{amount} / {held} in 1 L = {volume}",
        "each": "{mass} / {molar_mass} g/mol x {ions} = {found}",
        "sum": "In all {total}, x {valence} for the charge = {equivalents}",
        "sum_of_ions": "In all {total}",
    },
    "particles_missing": "Osmoles need the number of particles that one formula falls into.",
    "charge_missing": "Milliequivalents need the charge of the ion. Give the ion (calcium), its "
    "charge (2), or the formula of the salt (CaCl2.2H2O) in place of its molar mass.",
    "no_equivalents": "No milliequivalents are given: the charge of the ion isn’t known. Give the "
    "ion, its charge, or the formula of the salt.",
    "counted": "Counted: {count} x {ion} in one formula.",
    "assumed_one": "Taken: {count} x {ion} in one formula. If one formula holds more of them, "
    "give how many.",
    "assumed_one_each": "One of that ion in each formula is taken where the formula isn’t known. "
    "If one holds more of them, give how many.",
    "of_formula": "{have} were taken of the whole substance, not of one of its ions. Compare the "
    "amounts of the ions with what was ordered.",
    "unnamed": "ion of charge {charge}",
    "ion_unknown": "The table of ions has no “{ion}”. Leave it out, and give its charge and how "
    "many of it one formula holds.",
    "charge_differs": "The charge of {ion} isn’t {valence}.",
    "held": "{count} x {ion}",
    "not_held": "This formula holds {held}, and none of these is the ion that was typed. For a "
    "different count give the molar mass as a figure.",
    "which_ion": "Which ion of {formula} is meant? Give the ion.",
    "wrong_strength": "{strength} isn’t an amount of a dissolved substance in a volume.",
    "wanted_per_what": "An amount wanted for the body is in mg, mmol or mEq for each kg.",
    "body_weight_missing": "{wanted} needs the body weight.",
    "body_weight_unused": "The body weight wasn’t used: the amount wanted is given as such.",
    "one_question": "Give a volume or an amount wanted, not both.",
    "ideal": "Osmoles are counted as if every particle were free.",
    "lists_differ": "The lists must be of one length, or the ions one figure for all.",
}
say = speaker(AREA)


def convert(given: Given) -> Outcome:
    """Return one amount of a substance in every measure."""
    (salt, said), have = electrolyte(given), given.amount("amount")
    substance = salt.substance(have)
    steps = (*_to_substance(have, salt), *_from_substance(have, salt))
    return Outcome(
        _measures(substance, salt), steps, (*said, *_of_formula(have, salt), *_ideal(salt))
    )


def _to_substance(have: Amount, salt: Electrolyte) -> tuple[Message, ...]:
    """Return the step from what is given to mmol, if it isn't given so."""
    kind = units.dimension(have.unit)
    said = {"have": have, "substance": salt.substance(have)}
    if kind is Dimension.MASS:
        return (say("step.from_mass", molar_mass=salt.molar_mass, **said),)
    if kind is Dimension.EQUIVALENTS:
        figures = {"ions": salt.counted.count, "valence": salt.counted.charge or 0}
        return (say("step.from_equivalents", **figures, **said),)
    if kind is Dimension.OSMOLES:
        return (say("step.from_osmoles", particles=salt.particles or 0, **said),)
    return ()


def _from_substance(have: Amount, salt: Electrolyte) -> tuple[Message, ...]:
    """Return the steps from mmol to every other measure than the one given."""
    substance, steps = salt.substance(have), []
    if units.dimension(have.unit) is not Dimension.MASS:
        said = {"molar_mass": salt.molar_mass, "mass": salt.mass(substance)}
        steps.append(say("step.mass", substance=substance, **said))
    if salt.particles is not None:
        osmoles = salt.osmoles(substance)
        said = {"particles": salt.particles, "osmoles": osmoles}
        steps.append(say("step.osmoles", substance=substance, **said))
    return (*steps, *(_ion_step(substance, salt, each) for each in (*salt.others, salt.counted)))


def _ion_step(substance: Amount, salt: Electrolyte, ion: Counted) -> Message:
    """Return the step from the formula to one of its ions; the one counted comes last."""
    amount = salt.ion(substance, ion)
    said = {"substance": substance, "ions": ion.count, "amount": amount}
    if ion.charge is None:
        return say("step.ions", **said)
    equivalents = salt.equivalents(substance, ion)
    figures = {"valence": ion.charge, "equivalents": equivalents}
    return say("step.equivalents", ion=ion.called, **figures, **said)


def _measures(substance: Amount, salt: Electrolyte) -> tuple[Result, ...]:
    """Return every measure: of the ion counted, of the salt, then of its other ions."""
    equivalents, amount = _of_ion(substance, salt, salt.counted, ("equivalents", "ions"))
    results = [
        *equivalents,
        Result("substance", substance),
        amount,
        Result("mass", salt.mass(substance)),
    ]
    if salt.particles is not None:
        results.append(Result("osmoles", salt.osmoles(substance)))
    for place, each in enumerate(salt.others, 1):
        names = (f"other_equivalents_{place}", f"other_ions_{place}")
        others, other_amount = _of_ion(substance, salt, each, names)
        results += [*others, other_amount]
    return tuple(results)


def _of_ion(
    substance: Amount, salt: Electrolyte, ion: Counted, names: tuple[str, str]
) -> tuple[tuple[Result, ...], Result]:
    """Return the equivalents of an ion, if its charge is known, and its mmol."""
    amount = Result(names[1], salt.ion(substance, ion), ion.called)
    if ion.charge is None:
        return (), amount
    return (Result(names[0], salt.equivalents(substance, ion), ion.called),), amount


def _of_formula(have: Amount, salt: Electrolyte) -> tuple[Finding, ...]:
    """Return that mmol are taken of the whole formula, where it holds several of an ion."""
    several = any(each.count > 1 for each in (salt.counted, *salt.others))
    if units.dimension(have.unit) is not Dimension.SUBSTANCE or not several:
        return ()
    return (caution(say("of_formula", have=have), "molar_mass"),)


def _ideal(salt: Electrolyte) -> tuple[Finding, ...]:
    return () if salt.particles is None else (note(say("ideal"), "particles"),)


def strength_of(given: Given) -> Outcome:
    """Return a strength in every measure, and what a volume holds or which volume is needed."""
    salt, said = electrolyte(given)
    strength, held = _in_a_litre(given)
    substance = salt.substance(held)
    results = _strengths(substance, salt)
    steps = (
        say("step.in_a_litre", strength=strength, have=held),
        *_to_substance(held, salt),
        *_from_substance(held, salt),
    )
    if given.has("volume") and given.has("wanted"):
        raise Refusal(say("one_question"))
    findings = (*said, *_of_formula(held, salt), *_ideal(salt), *weight_doubts(given))
    if given.has("volume"):
        more, step = _held_in(given.amount("volume"), substance, salt)
        return Outcome((*more, *results), (*steps, step), findings)
    if given.has("wanted"):
        wanted, first, doubts = _wanted(given)
        volume, step = _volume_for(wanted, substance, salt)
        findings = (*findings, *_of_formula(wanted, salt), *doubts)
        return Outcome((volume, *results), (*steps, *first, step), findings)
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


def _strengths(substance: Amount, salt: Electrolyte) -> tuple[Result, ...]:
    """Return what is in one litre, as strengths."""
    mass = salt.mass(substance).to("mg").number
    in_a_litre = [
        replace(each, name=_STRENGTHS[name] + each.name.removeprefix(name), value=_per_litre(each))
        for each in _measures(substance, salt)
        if (name := each.name.rstrip("_0123456789")) in _STRENGTHS
    ]
    return (
        *in_a_litre,
        Result("mass_strength", Concentration(mass, "mg/L")),
        Result("percent", Concentration(mass / 10000, "% w/v")),
    )


_STRENGTHS = {
    "equivalents": "equivalent_strength",
    "substance": "substance_strength",
    "ions": "ion_strength",
    "osmoles": "osmolarity",
    "other_equivalents": "other_equivalent_strength",
    "other_ions": "other_ion_strength",
}
"""Each measure, and what it is called in one litre."""


def _per_litre(measure: Result) -> Concentration:
    if not isinstance(measure.value, Amount):
        raise TypeError(f"{measure.name} is no amount")
    return Concentration(measure.value.number, f"{measure.value.unit}/L")


def _held_in(
    volume: Amount, substance: Amount, salt: Electrolyte
) -> tuple[tuple[Result, ...], Message]:
    share = volume.to("L").number
    held = substance * share
    measures = _measures(held, salt)
    said = {"mass": salt.mass(held), "amount": measures[0].value}
    return measures, say("step.in_volume", volume=volume, share=share, **said)


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


def _volume_for(wanted: Amount, substance: Amount, salt: Electrolyte) -> tuple[Result, Message]:
    share = salt.substance(wanted) / substance
    volume = convenient(Amount(share, "L"))
    held = wanted * (1 / share)
    return Result("volume", volume), say("step.volume", amount=wanted, held=held, volume=volume)


def add_up(given: Given) -> Outcome:
    """Return an ion that several substances bring with them."""
    masses, molar = given.amounts("masses"), given.numbers("molar_masses")
    formulas = tuple(each.strip() for each in given.typed["molar_masses"].split(";"))
    if len(masses) != len(molar):
        raise Refusal(say("lists_differ"))
    ion, counts, findings = _one_ion(given, tuple(each for each in formulas if each))
    found, steps = Amount(Fraction(0), "mmol"), []
    for mass, molar_mass, count in zip(masses, molar, counts, strict=True):
        each = Amount(mass.to("mg").number / molar_mass * count, "mmol")
        found += each
        said = {"mass": mass, "molar_mass": molar_mass, "ions": Fraction(count), "found": each}
        steps.append(say("step.each", **said))
    if ion.charge is None:
        steps.append(say("step.sum_of_ions", total=found))
        return Outcome((Result("total_ions", found),), tuple(steps), findings)
    equivalents = Amount(found.number * ion.charge, "mEq")
    steps.append(say("step.sum", total=found, valence=ion.charge, equivalents=equivalents))
    results = (
        Result("total_equivalents", equivalents, ion.called),
        Result("total_ions", found, ion.called),
    )
    return Outcome(results, tuple(steps), findings)


def _one_ion(
    given: Given, formulas: tuple[str, ...]
) -> tuple[Counted, list[int], tuple[Finding, ...]]:
    """Return the ion looked for, how many of it each formula holds, and what was assumed."""
    held = [dict(ions_of(each)) for each in formulas]
    named = named_ions(given) or _shared(held)
    typed = [int(each) for each in given.numbers("ions_each")] if given.has("ions_each") else []
    if len(typed) == 1:
        typed *= len(formulas)
    if typed and len(typed) != len(formulas):
        raise Refusal(say("lists_differ"))
    charge = charge_of(named, given.count("valence") if given.has("valence") else None)
    counts = [
        _count(formula, each, named, typed[place] if typed else None)
        for place, (formula, each) in enumerate(zip(formulas, held, strict=True))
    ]
    counted = Counted(1, charge, named[0] if len(named) == 1 else None)
    known = [bool(each) and bool(named) for each in held]
    findings = () if typed or all(known) else (caution(say("assumed_one_each"), "ions_each"),)
    if charge is None:
        findings = (*findings, note(say("no_equivalents"), "valence"))
    return counted, counts, findings


def _shared(held: list[dict[Ion, int]]) -> tuple[Ion, ...]:
    """Return the only ion that all the formulas hold, if each is known."""
    shared = [each for each in held[0] if all(each in other for other in held)]
    return tuple(shared) if len(shared) == 1 else ()


def _count(formula: str, held: dict[Ion, int], named: tuple[Ion, ...], typed: int | None) -> int:
    """Return how many of the ion a formula holds: by its ions, else as typed, else one."""
    if not held or not named:
        if held and typed is None:
            raise Refusal(say("which_ion", formula=formula))
        return 1 if typed is None else typed
    count = sum(held.get(each, 0) for each in named)
    if not count or typed not in (None, count):
        said = tuple(say("held", count=n, ion=ion.written) for ion, n in held.items())
        raise Refusal(say("not_held", held=said))
    return count


COUNT, MOLAR = (Kind.COUNT,), (Kind.MOLAR_MASS,)
_IONS = (
    Input("molar_mass", MOLAR),
    Input("ion", (Kind.TEXT,), optional=True),
    Input("valence", COUNT, optional=True, most=Fraction(7)),
    Input("ions", COUNT, optional=True, most=Fraction(100)),
    Input("particles", COUNT, optional=True, most=Fraction(100)),
)
_AMOUNT = (Kind.MASS, Kind.SUBSTANCE, Kind.EQUIVALENTS)
_WANTED = ("mmol", "mEq", "mg", "g", "mmol/kg", "mEq/kg", "mg/kg")
CALCULATIONS = (
    Calculation(
        "millimoles-and-milliequivalents",
        AREA,
        (Input("amount", (*_AMOUNT, Kind.OSMOLES)), *_IONS),
        convert,
        (("amount", "1 g"), ("molar_mass", "CaCl2.2H2O")),
    ),
    Calculation(
        "electrolyte-strength",
        AREA,
        (
            Input("strength", (Kind.STRENGTH, Kind.PERCENT), units=("% w/v", "mmol/L", "mEq/L")),
            *_IONS,
            Input("volume", (Kind.VOLUME,), optional=True),
            Input("wanted", (*_AMOUNT, Kind.STRENGTH), optional=True, units=_WANTED),
            Input("body_weight", (Kind.MASS,), optional=True, units=("kg",)),
        ),
        strength_of,
        (("strength", "0.9 % w/v"), ("molar_mass", "NaCl")),
    ),
    Calculation(
        "ion-from-several-salts",
        AREA,
        (
            Input("masses", (Kind.MASS,), many=True),
            Input("molar_masses", MOLAR, many=True),
            Input("ion", (Kind.TEXT,), optional=True),
            Input("ions_each", COUNT, many=True, optional=True, most=Fraction(100)),
            Input("valence", COUNT, optional=True, most=Fraction(7)),
        ),
        add_up,
        (("masses", "500 mg; 500 mg"), ("molar_masses", "C2H3KO2; KHCO3"), ("ion", "potassium")),
    ),
)
