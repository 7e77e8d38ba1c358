"""The old rules for children's doses by age or weight: history, with a caution."""

from __future__ import annotations

from fractions import Fraction

from formulary.calculating.body import weight_doubts
from formulary.calculating.describing import Calculation, Input, Kind, speaker
from formulary.calculating.outcome import Number, Outcome, Result, caution
from formulary.calculating.values import Given
from formulary.errors import Refusal
from formulary.messages import Message
from formulary.quantity.writing import convenient

AREA = "childrens_rules"
TEXTS = {
    "input": {
        "adult_dose": "Adult’s dose",
        "rule": "Rule",
        "age_years": "Age in years",
        "age_months": "Age in months",
        "body_weight": "Body weight",
        "body_pounds": "Body weight in pounds",
        "body_surface": "Body surface area",
    },
    "result": {"dose": "Dose by the rule", "share": "Share of the adult’s dose"},
    "childs_dose_by_old_rules": {
        "title": "Child’s dose by old rules",
        "words": "paediatric, pediatric, child, infant, Young, Clark, Cowling, Fried, age",
        "about": "What Young, Cowling, Dilling, Bastedo, Fried, Clark or Augsberger would have "
        "given, to understand old formulas and prescriptions.",
        "source": "Rules of teaching texts, from memory: Young age / (age + 12); Cowling (age at "
        "next birthday) / 24; Dilling age / 20; Bastedo (age + 3) / 30; Fried months / 150; Clark "
        "weight / 150 pounds; Augsberger (1.5 x weight in kg + 10) per cent; "
        "surface m² / 1.73.",
        "limits": "Young from 1 to 12 years, Fried up to 24 months, the others up to 18 years.",
        "caution": "History. No child is dosed by these rules today: use a children’s formulary.",
    },
    "step": {
        "Young": "{age} / ({age} + 12) = {share}",
        "Cowling": "({age} + 1) / 24 = {share}",
        "Dilling": "{age} / 20 = {share}",
        "Bastedo": "({age} + 3) / 30 = {share}",
        "Augsberger": "(1.5 x {weight} kg + 10) / 100 = {share}",
        "pounds": "{pounds} pounds x 0.45359237 kg = {weight} kg",
        "Fried": "{age} / 150 = {share}",
        "Clark": "{weight} kg / 68.0388555 kg = {share}",
        "surface": "{surface} m² / 1.73 m² = {share}",
        "dose": "{adult_dose} x {share} = {dose}",
    },
    "history": "This rule is history. It knows nothing of how children of this age take up, break "
    "down or bear a drug. Never give a dose because it says so.",
    "one_weight": "Give the weight once: in kg or in pounds.",
    "needs": "This rule needs: {what}.",
    "out_of_range": "The rule was never meant for this age, weight or surface.",
}
ONE_POUND = Fraction("0.45359237")
ADULT_KG = 150 * ONE_POUND
ADULT_M2 = Fraction("1.73")
RULES = ("Young", "Cowling", "Dilling", "Bastedo", "Fried", "Clark", "Augsberger", "surface")
NEEDS = {
    "Young": ("age_years", Fraction(1), Fraction(12)),
    "Cowling": ("age_years", Fraction(0), Fraction(18)),
    "Dilling": ("age_years", Fraction(0), Fraction(18)),
    "Bastedo": ("age_years", Fraction(0), Fraction(18)),
    "Augsberger": ("body_weight", Fraction(0), Fraction(60)),
    "Fried": ("age_months", Fraction(0), Fraction(24)),
    "Clark": ("body_weight", Fraction(0), ADULT_KG),
    "surface": ("body_surface", Fraction(0), ADULT_M2),
}
"""What each rule is taken from, and between which figures (years, months, kg or m2)."""
say = speaker(AREA)


def childs_dose(given: Given) -> Outcome:
    """Return what an old rule makes of an adult's dose, loudly as history."""
    rule = given.text("rule")
    figure, first = _figure(given, rule)
    share, step = _share(rule, figure)
    adult = given.amount("adult_dose")
    dose = convenient(adult * share)
    steps = (*first, step, say("step.dose", adult_dose=adult, share=share, dose=dose))
    results = (Result("dose", dose), Result("share", Number(share * 100, "%")))
    return Outcome(results, steps, (caution(say("history"), "rule"), *weight_doubts(given)))


def _figure(given: Given, rule: str) -> tuple[Fraction, tuple[Message, ...]]:
    """Return the age, weight in kg or surface in m2 that the rule takes, inside its range."""
    name, least, most = NEEDS[rule]
    steps: tuple[Message, ...] = ()
    if name == "body_weight" and given.has("body_pounds"):
        figure, steps = _from_pounds(given)
    elif not given.has(name):
        raise Refusal(say("needs", what=say(f"input.{name}")))
    elif given.is_amount(name):
        figure = given.amount(name).to("kg" if name == "body_weight" else "m2").number
    else:
        figure = given.number(name)
    if not least <= figure <= most:
        raise Refusal(say("out_of_range"))
    return figure, steps


def _from_pounds(given: Given) -> tuple[Fraction, tuple[Message, ...]]:
    if given.has("body_weight"):
        raise Refusal(say("one_weight"))
    pounds = given.number("body_pounds")
    return pounds * ONE_POUND, (say("step.pounds", pounds=pounds, weight=pounds * ONE_POUND),)


def _share(rule: str, figure: Fraction) -> tuple[Fraction, Message]:
    shares = {
        "Young": figure / (figure + 12),
        "Cowling": (figure + 1) / 24,
        "Dilling": figure / 20,
        "Bastedo": (figure + 3) / 30,
        "Augsberger": (figure * 3 / 2 + 10) / 100,
        "Fried": figure / 150,
        "Clark": figure / ADULT_KG,
        "surface": figure / ADULT_M2,
    }
    name = {"body_weight": "weight", "body_surface": "surface"}.get(NEEDS[rule][0], "age")
    share = shares[rule]
    return share, say(f"step.{rule}", share=share, **{name: figure})


CALCULATIONS = (
    Calculation(
        "childs-dose-by-old-rules",
        AREA,
        (
            Input("adult_dose", (Kind.MASS, Kind.VOLUME, Kind.ACTIVITY)),
            Input("rule", (Kind.CHOICE,), choices=RULES),
            Input("age_years", (Kind.NUMBER,), optional=True),
            Input("age_months", (Kind.NUMBER,), optional=True),
            Input("body_weight", (Kind.MASS,), optional=True, units=("kg",)),
            Input("body_pounds", (Kind.NUMBER,), optional=True),
            Input("body_surface", (Kind.AREA, Kind.NUMBER), optional=True, units=("m2",)),
        ),
        childs_dose,
        (("adult_dose", "500 mg"), ("rule", "Young"), ("age_years", "6")),
    ),
)
