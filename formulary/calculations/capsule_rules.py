"""The rule of seven: a first guess at a capsule's size from the mass of an average powder."""

from __future__ import annotations

from fractions import Fraction

from formulary.calculating.describing import Calculation, Input, Kind, speaker
from formulary.calculating.outcome import Number, Outcome, Result, caution
from formulary.calculating.values import Given
from formulary.errors import Refusal
from formulary.quantity.amount import Amount

AREA = "capsule_rules"
TEXTS = {
    "input": {"fill": "Powder in one capsule"},
    "result": {
        "size": "Size to try first",
        "grains": "Powder in grains",
        "seven_less": "Seven less the grains",
    },
    "capsule_size_by_the_rule_of_seven": {
        "title": "Capsule size by the rule of seven",
        "words": "capsules, size 0, size 00, rule of sixes, guess",
        "about": "A first guess at the size from the mass alone, for a powder of average density.",
        "source": "Teaching rule, from memory: 7 − grains = size; −1 is size 00, −2 and −3 are "
        "size 000. 1 grain = 64.79891 mg.",
        "limits": "Powders of average density, about 0.6 to 0.8 g/mL; up to 10 grains.",
        "caution": "A guess to begin a trial filling with. Where a density or a weighed trial "
        "capsule is at hand, use that.",
    },
    "step": {
        "grains": "{fill} / 64.79891 mg = {grains} grains",
        "size": "7 − {grains} = {rest}, in whole numbers {whole}: size {size}",
    },
    "guess": "This is a guess from the mass alone. Make sure by a trial filling.",
    "outside": "The rule has no size for {fill}.",
}
GRAIN = Amount(Fraction("64.79891"), "mg")
SEVEN = 7
SIZES = {-3: "000", -2: "000", -1: "00", **{each: str(each) for each in range(6)}}
say = speaker(AREA)


def guess(given: Given) -> Outcome:
    """Return the size that the rule proposes for a mass of powder."""
    fill = given.amount("fill")
    grains = fill / GRAIN
    rest = SEVEN - grains
    whole = round(rest)
    if whole not in SIZES:
        raise Refusal(say("outside", fill=fill))
    size = SIZES[whole]
    results = (
        Result("size", size),
        Result("grains", Number(grains)),
        Result("seven_less", Number(rest)),
    )
    steps = (
        say("step.grains", fill=fill, grains=grains),
        say("step.size", grains=grains, rest=rest, whole=whole, size=size),
    )
    return Outcome(results, steps, (caution(say("guess"), "fill"),))


CALCULATIONS = (
    Calculation(
        "capsule-size-by-the-rule-of-seven",
        AREA,
        (Input("fill", (Kind.MASS,)),),
        guess,
        (("fill", "325 mg"),),
    ),
)
