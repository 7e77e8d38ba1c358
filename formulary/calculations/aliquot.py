"""Aliquots chosen by hand: a small amount as a part of a powder mixture or of a solution."""

from __future__ import annotations

from fractions import Fraction
from math import ceil

from formulary.calculating.choosing import given_one
from formulary.calculating.describing import Calculation, Input, Kind, speaker
from formulary.calculating.outcome import Number, Outcome, Result, caution
from formulary.calculating.values import Given
from formulary.errors import Refusal
from formulary.finding import Finding
from formulary.messages import Message
from formulary.quantity import units
from formulary.quantity.amount import Amount, Concentration
from formulary.quantity.writing import convenient, convenient_strength

AREA = "aliquot"
TEXTS = {
    "input": {
        "needed": "Active needed",
        "drug": "Active to weigh or measure",
        "multiple": "The same as a multiple of what is needed",
        "least": "Least quantity of the active that can be weighed or measured",
        "aliquot": "Aliquot",
        "mixture": "Whole mixture",
        "stock": "Volume of the stock solution",
        "solubility": "Millilitres that dissolve one gram",
        "least_volume": "Least measurable volume",
    },
    "result": {
        "drug": "Active to weigh or measure",
        "diluent": "Diluent to add",
        "total": "Whole mixture",
        "aliquot": "Aliquot to take",
        "multiple": "Multiple",
        "minimum_solvent": "Least solvent that dissolves it",
        "strength": "Strength of the stock",
        "left": "Left over",
    },
    "powder_aliquot": {
        "title": "Aliquot of a powder",
        "words": "aliquot method, small dose, dilution with lactose, trituration, solid "
        "dilution, weigh less than minimum",
        "about": "A multiple of a small amount is weighed, diluted with powder, and part taken.",
        "source": "Active weighed to whole mixture as active needed to aliquot "
        "(US Army MD0802, from memory).",
        "limits": "Active, diluent and aliquot are each at least the least weighable quantity.",
        "caution": "Mix by doubling, with a diluent that suits the preparation and the patient. "
        "What is left over isn’t returned to stock.",
    },
    "solution_aliquot": {
        "title": "Aliquot of a solution",
        "words": "aliquot method, small dose, liquid dilution, solubility, measure less than "
        "minimum",
        "about": "A multiple of a small amount is weighed and dissolved, or measured and diluted, "
        "and part of that is measured.",
        "source": "Active weighed to stock volume as active needed to aliquot.",
        "limits": "The stock volume must dissolve what is weighed; make up to the mark.",
        "caution": "Check that solvent and volume suit the preparation and the patient.",
    },
    "step": {
        "multiple": "{multiple} x {needed} = {drug} of active",
        "least_multiple": "{least} / {needed} asks for {multiple} times as much at least",
        "least_aliquot": "The aliquot is the least weighable quantity, {aliquot}",
        "total": "{aliquot} x {drug} / {needed} = {total} of mixture",
        "aliquot": "{total} x {needed} / {drug} = {aliquot} as aliquot",
        "diluent": "{total} − {drug} = {diluent} of diluent",
        "solvent": "{drug} x {solubility} mL/g = {minimum_solvent} of solvent at least",
        "stock": "{aliquot} x {drug} / {needed} = {total} as stock",
        "strength": "Made up to {total}: {strength}",
        "take": "Take {aliquot} of it: {total} holds {drug}, {aliquot} holds {needed}",
    },
    "drug": "Give the active to weigh, its multiple, or the least weighable quantity.",
    "aliquot_or_mixture": "Give only one of the aliquot and the whole mixture: the other follows. "
    "Where neither is given, the least weighable quantity is the aliquot.",
    "aliquot_or_stock": "Give only one of the volume of the stock solution and that of the "
    "aliquot: the other follows.",
    "less_than_needed": "Nothing is left to dilute: {drug} would be weighed and {needed} is "
    "needed. Weigh that as it is, or give a multiple above 1.",
    "no_diluent": "The mixture ({total}) must be more than the active in it ({drug}).",
    "insoluble": "{drug} needs {minimum_solvent} to dissolve; {total} is too little.",
    "under_least": "{amount} is under the least weighable or measurable quantity, {least}.",
}
say = speaker(AREA)


def powder(given: Given) -> Outcome:
    """Return active, diluent, mixture and aliquot of a solid aliquot."""
    steps: list[Message] = []
    needed = given.amount("needed")
    drug = _drug(given, needed, steps)
    if given.has("mixture"):
        given_one(given, ("aliquot", "mixture"), say("aliquot_or_mixture"))
        total = given.amount("mixture")
        aliquot = convenient(total * (needed / drug))
        steps.append(say("step.aliquot", total=total, needed=needed, drug=drug, aliquot=aliquot))
    else:
        aliquot = _aliquot(given, steps)
        total = convenient(aliquot * (drug / needed))
        steps.append(say("step.total", aliquot=aliquot, drug=drug, needed=needed, total=total))
    if total <= drug:
        raise Refusal(say("no_diluent", total=total, drug=drug))
    diluent = convenient(total - drug)
    steps.append(say("step.diluent", total=total, drug=drug, diluent=diluent))
    steps.append(say("step.take", aliquot=aliquot, total=total, drug=drug, needed=needed))
    results = (
        Result("aliquot", aliquot),
        Result("drug", drug),
        Result("diluent", diluent),
        Result("total", total),
        Result("left", convenient(total - aliquot)),
        Result("multiple", Number(drug / needed)),
    )
    return Outcome(results, tuple(steps), _under(given, "least", drug, diluent, aliquot))


def _drug(given: Given, needed: Amount, steps: list[Message]) -> Amount:
    """Return the active to weigh: as given, as a multiple, or the least whole multiple."""
    if given.has("drug") and not given.has("multiple"):
        drug = given.amount("drug")
    elif given.has("multiple") and not given.has("drug"):
        drug = _times(given.number("multiple"), needed, steps)
    elif given.has("least") and not given.has("drug"):
        least = given.amount("least")
        multiple = Fraction(ceil(least / needed))
        steps.append(say("step.least_multiple", least=least, needed=needed, multiple=multiple))
        drug = _times(multiple, needed, steps)
    else:
        raise Refusal(say("drug"))
    if drug <= needed:
        raise Refusal(say("less_than_needed", drug=drug, needed=needed))
    return drug


def _times(multiple: Fraction, needed: Amount, steps: list[Message]) -> Amount:
    drug = convenient(needed * multiple)
    steps.append(say("step.multiple", multiple=multiple, needed=needed, drug=drug))
    return drug


def _aliquot(given: Given, steps: list[Message]) -> Amount:
    if given.has("aliquot"):
        return given.amount("aliquot")
    if not given.has("least"):
        raise Refusal(say("aliquot_or_mixture"))
    aliquot = given.amount("least")
    steps.append(say("step.least_aliquot", aliquot=aliquot))
    return aliquot


def _under(given: Given, name: str, *amounts: Amount) -> tuple[Finding, ...]:
    if not given.has(name):
        return ()
    least = given.amount(name)
    small = (each for each in amounts if each < least)
    return tuple(caution(say("under_least", amount=each, least=least), name) for each in small)


def solution(given: Given) -> Outcome:
    """Return active, stock and aliquot of a liquid aliquot."""
    steps: list[Message] = []
    needed = given.amount("needed")
    drug = _drug(given, needed, steps)
    which = given_one(given, ("stock", "aliquot"), say("aliquot_or_stock"))
    said = {"needed": needed, "drug": drug}
    if which == "stock":
        total = given.amount("stock")
        aliquot = convenient(total * (needed / drug))
        worked = say("step.aliquot", total=total, aliquot=aliquot, **said)
    else:
        aliquot = given.amount("aliquot")
        total = convenient(aliquot * (drug / needed))
        worked = say("step.stock", total=total, aliquot=aliquot, **said)
    steps.append(worked)
    solvent = _solvent(given, drug, total, steps)
    strength = _strength(drug, total)
    steps.append(say("step.strength", total=total, strength=strength))
    results = (
        Result("aliquot", aliquot),
        Result("drug", drug),
        Result("total", total),
        Result("strength", strength),
        *solvent,
        Result("left", convenient(total - aliquot)),
        Result("multiple", Number(drug / needed)),
    )
    under = _under(given, "least", drug) + _under(given, "least_volume", aliquot)
    steps.append(say("step.take", aliquot=aliquot, total=total, **said))
    return Outcome(results, tuple(steps), under)


def _strength(drug: Amount, total: Amount) -> Concentration:
    """Return the strength of the stock: of a solid in mg/mL, of a liquid in per cent v/v."""
    if units.dimension(drug.unit) == units.VOLUME:
        return Concentration(100 * (drug / total), "% v/v")
    return convenient_strength(Concentration(drug.to("mg").number / total.to("mL").number, "mg/mL"))


def _solvent(given: Given, drug: Amount, total: Amount, steps: list[Message]) -> tuple[Result, ...]:
    """Return the least solvent, if the solubility is known. Raises Refusal if there is less."""
    if not given.has("solubility"):
        return ()
    solubility = given.number("solubility")
    least = convenient(Amount(drug.to("g").number * solubility, "mL"))
    steps.append(say("step.solvent", drug=drug, solubility=solubility, minimum_solvent=least))
    if total < least:
        raise Refusal(say("insoluble", drug=drug, minimum_solvent=least, total=total))
    return (Result("minimum_solvent", least),)


MASS, VOLUME, EITHER = (Kind.MASS,), (Kind.VOLUME,), (Kind.MASS, Kind.VOLUME)


def _common(kinds: tuple[Kind, ...]) -> tuple[Input, ...]:
    return (
        Input("needed", kinds),
        Input("drug", kinds, optional=True),
        Input("multiple", (Kind.NUMBER,), optional=True),
        Input("least", kinds, optional=True),
    )


CALCULATIONS = (
    Calculation(
        "powder-aliquot",
        AREA,
        (
            *_common(MASS),
            Input("aliquot", MASS, optional=True),
            Input("mixture", MASS, optional=True),
        ),
        powder,
        (("needed", "10 mg"), ("least", "120 mg")),
    ),
    Calculation(
        "solution-aliquot",
        AREA,
        (
            *_common(EITHER),
            Input("stock", VOLUME, optional=True),
            Input("aliquot", VOLUME, optional=True),
            Input("solubility", (Kind.NUMBER,), optional=True),
            Input("least_volume", VOLUME, optional=True),
        ),
        solution,
        (("needed", "20 mg"), ("drug", "200 mg"), ("stock", "100 mL"), ("solubility", "400")),
    ),
)
