"""Body surface area from height and weight, and inches and pounds in metric units."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from formulary.calculating.brief import brief_number, brief_speaker
from formulary.calculating.describing import Calculation, Input, Kind
from formulary.calculating.doubting import build
from formulary.calculating.numeric import power, shortened, square_root
from formulary.calculating.outcome import Number, Outcome, Result, note
from formulary.calculating.values import Given
from formulary.errors import Refusal
from formulary.finding import Severity
from formulary.messages import Message
from formulary.quantity.amount import Amount
from formulary.working import Working

AREA = "body_surface"
TEXTS = {
    "input": {
        "height": "Height",
        "weight": "Body weight",
        "formula": "Formula",
        "inches": "Height in inches",
        "pounds": "Weight in pounds",
    },
    "result": {
        "body_surface": "Body surface area",
        "height": "Height",
        "weight": "Body weight",
    },
    "body_surface_area": {
        "title": "Body surface area",
        "words": "BSA, m2, square metre, Mosteller, Du Bois, Haycock, height, weight, chemotherapy",
        "about": "The body surface from height and weight, by the formula that the dose is "
        "based on.",
        "source": "Mosteller, N. Engl. J. Med. 1987; 317: 1098. Haycock, Schwartz, Wisotsky, "
        "J. Pediatr. 1978; 93: 62. Du Bois and Du Bois, Arch. Intern. Med. 1916; 17: 863.",
        "limits": "Heights from 25 to 250 cm and weights from 0.4 to 350 kg. Roots and powers are "
        "rounded to 15 digits.",
        "caution": "The formulas differ by some per cent: use the one that the protocol names. "
        "An estimate from a formula isn’t a measurement.",
    },
    "inches_and_pounds": {
        "title": "Inches and pounds in centimetres and kilograms",
        "words": "lb, lbs, pound, inch, foot, feet, imperial, metric, kg, cm, convert, "
        "height, weight",
        "about": "Turns a height in inches and a weight in pounds into metric units, exactly.",
        "source": "International yard and pound agreement of 1959: 1 inch = 2.54 cm, "
        "1 pound = 0.45359237 kg.",
        "limits": "Avoirdupois pounds, never the apothecaries’.",
        "caution": "Weigh in kilograms wherever possible: mixing up pounds and kilograms more "
        "than doubles a dose.",
    },
    "step": {
        "Mosteller": "√({height} cm x {weight} kg / 3600) = {surface}",
        "Haycock": "0.024265 x {height}^0.3964 x {weight}^0.5378 = {surface}",
        "Du Bois": "0.007184 x {height}^0.725 x {weight}^0.425 = {surface}",
        "height": "{inches} inches x 2.54 cm = {height}",
        "weight": "{pounds} pounds x 0.45359237 kg = {weight}",
    },
    "height_range": "A height must be from 25 to 250 cm; {height} isn’t.",
    "weight_range": "A body weight must be from 0.4 to 350 kg; {weight} isn’t.",
    "infant": "Below 10 kg the formulas were drawn from few measurements. Ask how the dose is "
    "meant.",
    "one_needed": "Give a height, a weight, or both.",
}
HEIGHTS = (Fraction(25), Fraction(250))
WEIGHTS = (Fraction("0.4"), Fraction(350))
INFANT = 10
CM_PER_INCH = Fraction("2.54")
KG_PER_POUND = Fraction("0.45359237")
say = brief_speaker(AREA)


@dataclass(frozen=True, slots=True)
class Power:
    """A surface formula: constant x height in cm to a power x weight in kg to a power."""

    constant: Fraction
    height: Fraction
    weight: Fraction


MOSTELLER = "Mosteller"
POWERS = {
    "Haycock": Power(Fraction("0.024265"), Fraction("0.3964"), Fraction("0.5378")),
    "Du Bois": Power(Fraction("0.007184"), Fraction("0.725"), Fraction("0.425")),
}


def surface_area(height: Amount, weight: Amount, formula: str = MOSTELLER) -> Working[Amount]:
    """Return the body surface in m2; roots and powers err by less than 2e-14 of it.

    Raises :class:`formulary.errors.Refusal` outside the heights and weights of people.
    """
    cm, kg = height.to("cm").number, weight.to("kg").number
    if not HEIGHTS[0] <= cm <= HEIGHTS[1]:
        raise Refusal(say("height_range", height=height))
    if not WEIGHTS[0] <= kg <= WEIGHTS[1]:
        raise Refusal(say("weight_range", weight=weight))
    surface = Amount(_square_metres(cm, kg, formula), "m2")
    step = say(f"step.{formula}", height=cm, weight=kg, surface=surface)
    return Working(surface, (step,), say("body_surface_area.source"))


def _square_metres(cm: Fraction, kg: Fraction, formula: str) -> Fraction:
    if formula == MOSTELLER:
        return square_root(cm * kg / 3600)
    by = POWERS[formula]
    return shortened(by.constant * power(cm, by.height) * power(kg, by.weight))


def body_surface(given: Given) -> Outcome:
    """Return the body surface by the formula chosen."""
    weight = given.amount("weight")
    height = given.amount("height")
    working = surface_area(height, weight, given.text("formula"))
    infant = (note(say("infant"), "weight"),) if weight.to("kg").number < INFANT else ()
    findings = (*infant, *build(height, weight))
    surface = Number(brief_number(working.result.number), "m2", rounded=True)
    return Outcome((Result("body_surface", surface),), working.steps, findings)


def metric(given: Given) -> Outcome:
    """Return a height in inches in cm and a weight in pounds in kg."""
    results: list[Result] = []
    steps: list[Message] = []
    if given.has("inches"):
        height = Amount(given.number("inches") * CM_PER_INCH, "cm")
        results.append(Result("height", height))
        steps.append(say("step.height", inches=given.number("inches"), height=height))
    if given.has("pounds"):
        weight = Amount(given.number("pounds") * KG_PER_POUND, "kg")
        results.append(Result("weight", weight))
        steps.append(say("step.weight", pounds=given.number("pounds"), weight=weight))
    if not results:
        raise Refusal(say("one_needed"))
    return Outcome(tuple(results), tuple(steps))


CALCULATIONS = (
    Calculation(
        "body-surface-area",
        AREA,
        (
            Input("height", (Kind.LENGTH,)),
            Input("weight", (Kind.MASS,), units=("kg", "g")),
            Input(
                "formula",
                (Kind.CHOICE,),
                default=MOSTELLER,
                choices=(MOSTELLER, *POWERS),
                assumed=Severity.NOTE,
            ),
        ),
        body_surface,
        (("height", "175 cm"), ("weight", "70 kg")),
    ),
    Calculation(
        "inches-and-pounds",
        AREA,
        (
            Input("inches", (Kind.NUMBER,), optional=True),
            Input("pounds", (Kind.NUMBER,), optional=True),
        ),
        metric,
        (("inches", "42"), ("pounds", "55")),
    ),
)
