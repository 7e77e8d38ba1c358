"""What a strong acid or base does to a buffer: it turns one form into the other."""

from __future__ import annotations

from fractions import Fraction

from formulary.calculating.brief import brief_results, brief_speaker
from formulary.calculating.choosing import given_one
from formulary.calculating.describing import Calculation, Input
from formulary.calculating.numeric import common_logarithm
from formulary.calculating.outcome import Number, Outcome, Result
from formulary.calculating.values import Given
from formulary.calculations.buffers import KA, MOLAR, PKA, constant_of, molar
from formulary.errors import Refusal
from formulary.quantity.amount import Concentration

AREA = "buffer_additions"
TEXTS = {
    "input": {
        "pka": "pKa of the acid",
        "ka": "Ka of the acid",
        "base": "Concentration of the base form",
        "acid": "Concentration of the acid form",
        "strong_acid": "Strong acid added, in one litre",
        "strong_base": "Strong base added, in one litre",
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
    base, acid = molar(given, "base"), molar(given, "acid")
    way = given_one(given, ("strong_acid", "strong_base"), say("one_addition"))
    added = molar(given, way)
    turned = added if way == "strong_acid" else -added
    new_base, new_acid = base - turned, acid + turned
    if new_base <= 0 or new_acid <= 0:
        raise Refusal(say("used_up", added=_shown(added)))
    before = pka.result + common_logarithm(base / acid)
    after = pka.result + common_logarithm(new_base / new_acid)
    results = brief_results(
        Result("ph_before", Number(before, rounded=True)),
        Result("ph", Number(after, rounded=True)),
        Result("change", Number(after - before, rounded=True)),
        Result("base", _shown(new_base)),
        Result("acid", _shown(new_acid)),
    )
    old, new = _pair(base, acid), _pair(new_base, new_acid)
    steps = (
        *pka.steps,
        say("step.before", pka=pka.result, ph=before, **old),
        say("step.turned", added=_shown(added), **new),
        say("step.after", pka=pka.result, ph=after, **new),
    )
    return Outcome(results, steps)


def _shown(number: Fraction) -> Concentration:
    return Concentration(number, "mol/L")


def _pair(base: Fraction, acid: Fraction) -> dict[str, Concentration]:
    return {"base": _shown(base), "acid": _shown(acid)}


CALCULATIONS = (
    Calculation(
        "buffer-after-addition",
        AREA,
        (
            PKA,
            KA,
            Input("base", MOLAR),
            Input("acid", MOLAR),
            Input("strong_acid", MOLAR, optional=True),
            Input("strong_base", MOLAR, optional=True),
        ),
        add,
        (("pka", "4.76"), ("base", "0.1"), ("acid", "0.1"), ("strong_acid", "0.01 mol/L")),
    ),
)
