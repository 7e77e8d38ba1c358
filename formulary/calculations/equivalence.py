"""One form of a substance for another: salt and base, hydrate and anhydrous, ion and salt."""

from __future__ import annotations

from fractions import Fraction
from typing import TypeAlias

from formulary.calculating.choosing import given_one
from formulary.calculating.describing import Calculation, Input, Kind, speaker
from formulary.calculating.outcome import Number, Outcome, Result, caution, note
from formulary.calculating.values import Given
from formulary.errors import Refusal
from formulary.finding import Finding, Severity
from formulary.messages import Message, message
from formulary.quantity.amount import Amount, Concentration
from formulary.quantity.writing import convenient, convenient_strength
from formulary.working import Working

AREA = "equivalence"
TEXTS = {
    "input": {
        "needed": "Amount or strength of the form ordered",
        "supplied": "Amount or strength of the form supplied",
        "molar_mass_needed": "Molar mass or formula of the form ordered",
        "molar_mass_supplied": "Molar mass or formula of the form supplied",
        "needed_per_supplied": "Units of the form ordered in one formula of the form supplied",
        "formula": "Chemical formula",
        "molar_mass": "Molar mass or formula of the whole",
        "part_molar_mass": "Molar mass or formula of the part",
        "part_count": "How often the whole holds the part",
        "whole": "Amount of the whole",
        "part": "Amount of the part",
    },
    "result": {
        "factor": "Factor from the form ordered to the form supplied",
        "weigh": "Form supplied to take",
        "needed": "This corresponds to, of the form ordered",
        "molar_mass": "Molar mass",
        "share": "Share of the part",
        "whole": "Amount of the whole",
        "part": "Amount of the part",
    },
    "salt_or_hydrate_equivalent": {
        "title": "Salt, base, hydrate and anhydrous form",
        "words": "base equivalent, hydrate, anhydrous, hydrochloride, salt form, conversion, "
        "molecular weight",
        "about": "How much of the form supplied stands for an amount ordered in another form.",
        "source": "Equal numbers of molecules: the masses are as the molar masses. Molar masses "
        "of formulas from the IUPAC abridged standard atomic weights 2021.",
        "limits": "Pure forms. Assay, water and loss on drying of the lot come on top, once.",
        "caution": "Make sure in which form the dose is meant. Where one formula of the salt "
        "holds two of the base, as in many sulfates, say so.",
    },
    "molar_mass": {
        "title": "Molar mass of a formula",
        "words": "molecular weight, MW, formula weight, atomic weights, g/mol",
        "about": "Adds up the atomic weights of a formula such as C6H8O7.H2O or Ca(OH)2.",
        "source": "IUPAC abridged standard atomic weights 2021.",
        "limits": "Five significant digits for each element; elements without a standard weight "
        "are refused.",
        "caution": "Compare it with the molar mass on the certificate: formulas are easily "
        "mistyped.",
    },
    "part_of_a_salt": {
        "title": "Part of a salt: ion, base, water or element",
        "words": "elemental iron, element, fluoride, free base, content of ion, water of "
        "crystallisation, percent of",
        "about": "How much of an ion, a base, water or an element a substance holds.",
        "source": "Shares by mass are as the molar masses, counted as often as they occur.",
        "limits": "Pure, whole formulas.",
        "caution": "Orders of iron, zinc, magnesium or calcium may mean the element or the salt.",
    },
    "step": {
        "factor": "{molar_mass_supplied} g/mol / ({count} x {molar_mass_needed} g/mol) = {factor}",
        "weigh": "{needed} x {factor} = {weigh} of the form supplied",
        "needed": "{supplied} / {factor} = {needed} of the form ordered",
        "molar_mass": "Sum of the atomic weights: {molar_mass} g/mol",
        "share": "{count} x {part_molar_mass} / {molar_mass} = {share} %",
        "part": "{whole} x {share} % = {part}",
        "whole": "{part} / {share} % = {whole}",
    },
    "one_of_two": "Give either the amount of the form ordered or that of the form supplied.",
    "one_part": "Give the amount of the whole or that of the part, not both.",
    "below_one": "The factor is below 1: the form supplied holds more of what was ordered. "
    "That is right here, and the lower amount is weighed.",
    "far_apart": "The two molar masses differ more than threefold. Check the formulas and how "
    "many units of one stand in the other.",
    "part_too_large": "The part can’t weigh more than the whole: {part} in {whole} g/mol.",
}
FAR = 3
AMOUNT = (Kind.MASS, Kind.STRENGTH, Kind.PERCENT)
Form: TypeAlias = Amount | Concentration | Number
say = speaker(AREA)


def form_factor(needed: Fraction, supplied: Fraction, count: int = 1) -> Working[Fraction]:
    """Return by what an amount ordered is multiplied to weigh it in the form supplied.

    ``needed`` and ``supplied`` are molar masses in g/mol; ``count`` is how many units of the form
    ordered one formula of the form supplied holds. The factor may well be below 1.
    """
    factor = supplied / (count * needed)
    step = say(
        "step.factor",
        molar_mass_supplied=supplied,
        molar_mass_needed=needed,
        count=count,
        factor=factor,
    )
    return Working(factor, (step,), say("salt_or_hydrate_equivalent.source"))


def equivalent(given: Given) -> Outcome:
    """Return the factor between two forms, and the amount of the other form."""
    name = given_one(given, ("needed", "supplied"), say("one_of_two"))
    working = form_factor(
        given.number("molar_mass_needed"),
        given.number("molar_mass_supplied"),
        given.count("needed_per_supplied"),
    )
    factor = working.result
    have = _typed(given, name)
    if name == "needed":
        found = _times(have, factor)
        step = say("step.weigh", needed=_said(have), factor=factor, weigh=_said(found))
    else:
        found = _times(have, 1 / factor)
        step = say("step.needed", supplied=_said(have), factor=factor, needed=_said(found))
    results = (
        Result("weigh" if name == "needed" else "needed", found),
        Result("factor", Number(factor)),
    )
    return Outcome(results, (*working.steps, step), _doubts(factor))


def _typed(given: Given, name: str) -> Form:
    """Return an amount, a strength, or a per cent whose kind wasn't said and doesn't matter."""
    if given.is_amount(name):
        return given.amount(name)
    return given.strength(name) if given.is_strength(name) else Number(given.number(name), "%")


def _said(form: Form) -> Amount | Concentration | Message:
    if isinstance(form, Number):
        return message("calculating.bare_percent", number=form.number)
    return form


def _times(have: Form, factor: Fraction) -> Form:
    if isinstance(have, Number):
        return Number(have.number * factor, have.unit)
    if isinstance(have, Amount):
        return convenient(have * factor)
    return convenient_strength(Concentration(have.number * factor, have.unit))


def _doubts(factor: Fraction) -> tuple[Finding, ...]:
    found = [note(say("below_one"))] if factor < 1 else []
    if not Fraction(1, FAR) <= factor <= FAR:
        found.append(caution(say("far_apart"), "molar_mass_supplied"))
    return tuple(found)


def weigh_formula(given: Given) -> Outcome:
    """Return the molar mass of a formula."""
    mass = given.number("formula")
    step = say("step.molar_mass", molar_mass=mass)
    return Outcome((Result("molar_mass", Number(mass, "g/mol")),), (step,))


def part_of_whole(given: Given) -> Outcome:
    """Return the share of a part, and the amount of the part or of the whole."""
    whole, part = given.number("molar_mass"), given.number("part_molar_mass")
    count = given.count("part_count")
    if count * part > whole:
        raise Refusal(say("part_too_large", part=count * part, whole=whole))
    share = count * part / whole * 100
    said = say("step.share", count=count, part_molar_mass=part, molar_mass=whole, share=share)
    alone = Result("share", Number(share, "%"))
    if not (given.has("whole") or given.has("part")):
        return Outcome((alone,), (said,))
    name = given_one(given, ("whole", "part"), say("one_part"))
    have = given.amount(name)
    other = "part" if name == "whole" else "whole"
    found = convenient(have * (share / 100 if name == "whole" else 100 / share))
    amounts = {name: have, other: found}
    return Outcome(
        (Result(other, found), alone), (said, say(f"step.{other}", share=share, **amounts))
    )


MOLAR = (Kind.MOLAR_MASS,)
CALCULATIONS = (
    Calculation(
        "salt-or-hydrate-equivalent",
        AREA,
        (
            Input("molar_mass_needed", MOLAR),
            Input("molar_mass_supplied", MOLAR),
            Input(
                "needed_per_supplied",
                (Kind.COUNT,),
                default="1",
                most=Fraction(20),
                assumed=Severity.REASON,
            ),
            Input("needed", AMOUNT, optional=True),
            Input("supplied", AMOUNT, optional=True),
        ),
        equivalent,
        (
            ("molar_mass_needed", "C6H8O7.H2O"),
            ("molar_mass_supplied", "C6H8O7"),
            ("needed", "1 g"),
        ),
    ),
    Calculation(
        "molar-mass",
        AREA,
        (Input("formula", MOLAR),),
        weigh_formula,
        (("formula", "C6H8O7.H2O"),),
    ),
    Calculation(
        "part-of-a-salt",
        AREA,
        (
            Input("molar_mass", MOLAR),
            Input("part_molar_mass", MOLAR),
            Input(
                "part_count",
                (Kind.COUNT,),
                default="1",
                most=Fraction(100),
                assumed=Severity.REASON,
            ),
            Input("whole", (Kind.MASS,), optional=True),
            Input("part", (Kind.MASS,), optional=True),
        ),
        part_of_whole,
        (("molar_mass", "NaCl"), ("part_molar_mass", "Na"), ("whole", "600 mg")),
    ),
)
