"""Strengths that a lot brings with it: concentrates made in-house, international units."""

from __future__ import annotations

from fractions import Fraction

from formulary.calculating.choosing import given_one
from formulary.calculating.describing import Calculation, Input, Kind, speaker
from formulary.calculating.outcome import Number, Outcome, Result, note
from formulary.calculating.strengths import alike
from formulary.calculating.values import Given
from formulary.calculations.corrections import Basis, Certificate, lot_factor
from formulary.calculations.equivalence import form_factor
from formulary.errors import Refusal
from formulary.finding import Severity
from formulary.messages import Message
from formulary.quantity import units
from formulary.quantity.amount import Amount, Concentration
from formulary.quantity.writing import convenient
from formulary.working import Working

AREA = "potency"
TEXTS = {
    "input": {
        "nominal": "Nominal strength of the concentrate",
        "found": "Strength found, from the weights taken or an assay",
        "molar_mass_ordered": "Molar mass or formula of the other form ordered",
        "molar_mass_supplied": "Molar mass or formula of the form in the concentrate",
        "ordered_per_supplied": "Units of the form ordered in one formula of the form supplied",
        "threshold": "Correct when the strength differs by more than",
        "potency": "Potency of the lot",
        "basis": "The certificate states the potency",
        "loss": "Water or loss on drying",
        "ordered": "Activity or amount ordered",
        "taken": "Amount of the lot",
    },
    "result": {
        "factor_for_stock": "Factor for an order of the concentrate",
        "factor_for_substance": "Factor for an order of the substance",
        "factor_for_other_form": "Factor for an order of the other form",
        "corrected": "The concentrate is corrected",
        "potency": "Potency as the lot stands",
        "take": "Amount of the lot to take",
        "held": "Activity or amount in it",
    },
    "concentrate_factor": {
        "title": "Factors of a concentrate made in-house",
        "words": "premix, trituration, stock concentrate, correction factor, potency",
        "about": "By what an order of the concentrate, of its substance or of another form of it "
        "is multiplied to weigh the concentrate.",
        "source": "Nominal over found strength; 100 % over found strength: German pharmacy press, "
        "formulation tip 1/2026 on correction factors of concentrates.",
        "limits": "Strengths by weight (% w/w). Below 1 is right for a concentrate.",
        "caution": "The factors belong to one batch of the concentrate.",
    },
    "international_units": {
        "title": "International units by the lot’s potency",
        "words": "IU, I.U., units, potency, activity, mega-units, vitamin, antibiotic, "
        "heparin, nystatin, neomycin",
        "about": "How much of a lot holds an activity, or what activity an amount of it holds.",
        "source": "Amount = activity / potency of the lot, both ways.",
        "limits": "Only the potency on the lot’s own certificate turns units into a mass.",
        "caution": "Units of one substance are never those of another, and never milligrams.",
    },
    "basis": {
        "dried": "on the dried substance",
        "anhydrous": "on the anhydrous substance",
    },
    "step": {
        "stock": "{nominal} % / {found} % = {factor} for an order of the concentrate",
        "stock_kept": "{found} % against {nominal} % isn’t off by more than "
        "{threshold} %: factor 1",
        "substance": "100 % / {found} % = {factor} for an order of the substance",
        "other": "{substance} x {form} = {factor} for an order of the other form",
        "as_is": "{potency} x (100 % − {loss} %) / 100 % = {result} as it stands",
        "take": "{ordered} / {potency} = {take}",
        "held": "{taken} x {potency} = {held}",
    },
    "not_by_weight": "A concentrate is weighed: give its strengths in % w/w.",
    "over_hundred": "A concentrate can’t hold more than 100 %.",
    "both_forms": "Give the molar masses of both forms, or of none.",
    "below_one": "The factor is below 1, as is right for a concentrate stronger than nominal.",
    "one_of_two": "Give either the activity ordered or the amount of the lot.",
    "loss_missing": "The potency is stated {basis}, so water or loss on drying is needed.",
    "loss_unused": "A potency of the substance as is already counts the water.",
    "nothing_left": "A loss of 100 % or more leaves nothing to weigh.",
    "wrong_order": "{ordered} can’t be met with a potency of {potency}: both must count the same.",
    "wrong_lot": "{taken} can’t be multiplied by {potency}: the lot is measured otherwise.",
}
WHOLE = 100
say = speaker(AREA)


def concentrate_factor(given: Given) -> Outcome:
    """Return the factors of a concentrate for orders of it, its substance or another form."""
    (nominal, found), kind = alike(given, "nominal", "found")
    if kind not in ("", "w/w"):
        raise Refusal(say("not_by_weight"))
    if max(nominal, found) > WHOLE:
        raise Refusal(say("over_hundred"))
    threshold = given.number("threshold")
    stock = _stock(nominal, found, threshold)
    substance = WHOLE / found
    results = [
        Result("factor_for_stock", Number(stock.result)),
        Result("factor_for_substance", Number(substance)),
        Result("corrected", stock.result != 1),
    ]
    steps = [say("step.substance", found=found, factor=substance)]
    form = _form(given)
    if form is not None:
        other = substance * form.result
        results.append(Result("factor_for_other_form", Number(other)))
        said = say("step.other", substance=substance, form=form.result, factor=other)
        steps += [*form.steps, said]
    findings = (note(say("below_one"), "found"),) if stock.result < 1 else ()
    return Outcome(tuple(results), (*steps, *stock.steps), findings)


def _stock(nominal: Fraction, found: Fraction, threshold: Fraction) -> Working[Fraction]:
    """Return the factor for an order of the concentrate itself, by the lot's general rule."""
    lot = Certificate(assay=found / nominal * 100, threshold=threshold, concentrate=True)
    factor = lot_factor(lot).result
    said = {"nominal": nominal, "found": found}
    if factor == 1:
        return Working(factor, (say("step.stock_kept", threshold=threshold, **said),))
    return Working(factor, (say("step.stock", factor=factor, **said),))


def _form(given: Given) -> Working[Fraction] | None:
    names = ("molar_mass_ordered", "molar_mass_supplied")
    known = [given.number(name) for name in names if given.has(name)]
    if len(known) == 1:
        raise Refusal(say("both_forms"))
    if not known:
        return None
    return form_factor(known[0], known[1], given.count("ordered_per_supplied"))


def international_units(given: Given) -> Outcome:
    """Return how much of a lot holds an activity, or what an amount of the lot holds."""
    name = given_one(given, ("ordered", "taken"), say("one_of_two"))
    potency, steps = _as_it_stands(given)
    part, whole = units.split_concentration(potency.unit)
    if name == "ordered":
        ordered = _counted(given.amount(name), part, "wrong_order", potency)
        take = convenient(Amount(ordered.number / potency.number, whole))
        results = (Result("take", take), Result("potency", potency))
        step = say("step.take", ordered=ordered, potency=potency, take=take)
    else:
        taken = _counted(given.amount(name), whole, "wrong_lot", potency)
        held = convenient(Amount(taken.number * potency.number, part))
        results = (Result("held", held), Result("potency", potency))
        step = say("step.held", taken=taken, potency=potency, held=held)
    unused = given.has("loss") and not steps
    findings = (note(say("loss_unused"), "loss"),) if unused else ()
    return Outcome(results, (*steps, step), findings)


def _as_it_stands(given: Given) -> tuple[Concentration, tuple[Message, ...]]:
    """Return the potency of the lot with its water, and the step to it if there is one."""
    potency, basis = _potency(given), Basis(given.text("basis"))
    if basis is Basis.AS_IS:
        return potency, ()
    if not given.has("loss"):
        raise Refusal(say("loss_missing", basis=say(f"basis.{basis.value}")))
    loss = given.number("loss")
    if loss >= WHOLE:
        raise Refusal(say("nothing_left"))
    result = Concentration(potency.number * (100 - loss) / 100, potency.unit)
    return result, (say("step.as_is", potency=potency, loss=loss, result=result),)


def _potency(given: Given) -> Concentration:
    """Return the potency; a bare number is units in one mg, as certificates have it."""
    if not given.is_strength("potency"):
        return Concentration(given.number("potency"), "international unit/mg")
    potency = given.strength("potency")
    if potency.unit in units.PERCENTS:
        per_gram = {"% w/w": "g/g", "% w/v": "g/mL", "% v/v": "mL/mL"}[potency.unit]
        return Concentration(potency.number / 100, per_gram)
    return potency


def _counted(amount: Amount, unit: str, otherwise: str, potency: Concentration) -> Amount:
    """Return the amount in the potency's own unit. Raises Refusal for another kind of amount."""
    if units.dimension(amount.unit) is not units.dimension(unit):
        name = "ordered" if otherwise == "wrong_order" else "taken"
        raise Refusal(say(otherwise, potency=potency, **{name: amount}))
    return amount.to(unit)


STRENGTH = (Kind.STRENGTH, Kind.PERCENT)
_BY_MASS = ("% w/w", "mg/g", "%")
_POTENCY = tuple(f"international unit/{each}" for each in ("mg", "g", "mL"))
MOLAR = (Kind.MOLAR_MASS,)
CALCULATIONS = (
    Calculation(
        "concentrate-factor",
        AREA,
        (
            Input("nominal", STRENGTH, units=_BY_MASS),
            Input("found", STRENGTH, units=_BY_MASS),
            Input("molar_mass_ordered", MOLAR, optional=True),
            Input("molar_mass_supplied", MOLAR, optional=True),
            Input(
                "ordered_per_supplied",
                (Kind.COUNT,),
                default="1",
                most=Fraction(20),
                assumed=Severity.REASON,
                matters_with=("molar_mass_ordered",),
            ),
            Input("threshold", (Kind.PERCENT,), default="2 %", positive=False, least=Fraction(0)),
        ),
        concentrate_factor,
        (("nominal", "2 %"), ("found", "2.06 %")),
    ),
    Calculation(
        "international-units",
        AREA,
        (
            Input("potency", (Kind.STRENGTH, Kind.NUMBER), units=_POTENCY),
            Input("ordered", (Kind.ACTIVITY, Kind.MASS), optional=True),
            Input("taken", (Kind.MASS, Kind.VOLUME), optional=True),
            Input(
                "basis",
                (Kind.CHOICE,),
                default=Basis.AS_IS.value,
                choices=tuple(each.value for each in Basis),
                assumed=Severity.REASON,
            ),
            Input("loss", (Kind.PERCENT,), optional=True, positive=False, least=Fraction(0)),
        ),
        international_units,
        (("potency", "5000 units/mg"), ("ordered", "1 000 000 units")),
    ),
)
