"""What a strong acid or base does to a buffer: it turns one form into the other."""

from __future__ import annotations

from fractions import Fraction

from formulary.calculating.acids import (
    CONSTANT,
    amount_or_molar_input,
    constant_of,
    molar,
    moles,
)
from formulary.calculating.brief import brief_results, brief_speaker
from formulary.calculating.choosing import given_one
from formulary.calculating.describing import Calculation
from formulary.calculating.numeric import common_logarithm
from formulary.calculating.outcome import Number, Outcome, Result
from formulary.calculating.values import Given
from formulary.errors import Refusal
from formulary.quantity.amount import Amount, Concentration

AREA = "buffer_additions"
TEXTS = {
    "input": {
        "pka": "pKa of the acid",
        "ka": "Ka of the acid",
        "pkb": "pKb of the base",
        "kb": "Kb of the base",
        "base": "Base form: concentration or amount",
        "acid": "Acid form: concentration or amount",
        "strong_acid": "Strong acid added, in one litre or as an amount",
        "strong_base": "Strong base added, in one litre or as an amount",
    },
    "result": {
        "ph_before": "pH before",
        "ph": "pH after",
        "change": "Change",
        "base": "Base form after",
        "acid": "Acid form after",
    },
    "buffer_after_addition": {
        "title": "Buffer after a strong acid or base",
        "words": "pH, strong acid, strong base, alkali, pKa, Henderson-Hasselbalch",
        "about": "To which pH a buffer goes when a strong acid or base is added.",
        "source": "Each mole of strong acid turns one of base form into acid form, and the "
        "reverse; then Henderson and Hasselbalch.",
        "limits": "The addition doesn’t change the volume, and uses up neither form.",
        "caution": "Measure the pH of the finished solution.",
    },
    "step": {
        "before": "{pka} + log ({base} / {acid}) = {ph} before",
        "turned": "{added} turned: {base} of base form and {acid} of acid form",
        "after": "{pka} + log ({base} / {acid}) = {ph} after",
    },
    "one_addition": "Give either the strong acid or the strong base.",
    "used_up": "The addition uses up the buffer: there is less than {added} of the form it turns.",
}
say = brief_speaker(AREA)


def add(given: Given) -> Outcome:
    """Return the pH before and after a strong acid or base."""
    pka = constant_of(given)
    way = given_one(given, ("strong_acid", "strong_base"), say("one_addition"))
    names = ("base", "acid", way)
    amounts = moles(given, *names)
    base, acid, added = (amounts[n].number if amounts else molar(given, n) for n in names)
    unit = "mol" if amounts else "mol/L"
    turned = added if way == "strong_acid" else -added
    new_base, new_acid = base - turned, acid + turned
    if new_base <= 0 or new_acid <= 0:
        raise Refusal(say("used_up", added=_shown(added, unit)))
    before = pka.result + common_logarithm(base / acid)
    after = pka.result + common_logarithm(new_base / new_acid)
    results = brief_results(
        Result("ph", Number(after, rounded=True)),
        Result("ph_before", Number(before, rounded=True)),
        Result("change", Number(after - before, rounded=True)),
        Result("base", _shown(new_base, unit)),
        Result("acid", _shown(new_acid, unit)),
    )
    old, new = _pair(base, acid, unit), _pair(new_base, new_acid, unit)
    steps = (
        *pka.steps,
        say("step.before", pka=pka.result, ph=before, **old),
        say("step.turned", added=_shown(added, unit), **new),
        say("step.after", pka=pka.result, ph=after, **new),
    )
    return Outcome(results, steps)


def _shown(number: Fraction, unit: str) -> Amount | Concentration:
    return Amount(number, unit) if unit == "mol" else Concentration(number, unit)


def _pair(base: Fraction, acid: Fraction, unit: str) -> dict[str, Amount | Concentration]:
    return {"base": _shown(base, unit), "acid": _shown(acid, unit)}


CALCULATIONS = (
    Calculation(
        "buffer-after-addition",
        AREA,
        (
            *CONSTANT,
            amount_or_molar_input("base"),
            amount_or_molar_input("acid"),
            amount_or_molar_input("strong_acid", optional=True),
            amount_or_molar_input("strong_base", optional=True),
        ),
        add,
        (("pka", "4.76"), ("base", "0.1"), ("acid", "0.1"), ("strong_acid", "0.01 mol/L")),
    ),
)
