"""Acids and bases in solution: Henderson-Hasselbalch in every direction, pKa, and capacity.

Logarithms and powers of ten come from :mod:`formulary.calculating.numeric`: 15 digits, the answers
12. Activities are taken as concentrations.
"""

from __future__ import annotations

import re
from fractions import Fraction

from formulary.calculating.brief import brief_number, brief_results, brief_speaker
from formulary.calculating.choosing import given_one
from formulary.calculating.describing import Calculation, Input, Kind
from formulary.calculating.numeric import common_logarithm, natural_logarithm, power
from formulary.calculating.outcome import Number, Outcome, Result, caution
from formulary.calculating.values import Given
from formulary.errors import BadText, Refusal
from formulary.finding import Finding
from formulary.messages import Message
from formulary.quantity.amount import Concentration
from formulary.quantity.units import factor
from formulary.working import Working

AREA = "buffers"
_HENDERSON = "Henderson and Hasselbalch: pH = pKa + log (base / acid)."
_DILUTE = "Dilute solutions at the temperature of the pKa; concentrations stand for activities."
TEXTS = {
    "input": {
        "ph": "pH",
        "pka": "pKa of the acid",
        "ka": "Ka of the acid",
        "base": "Concentration of the base form (salt of the acid)",
        "acid": "Concentration of the acid form",
        "ratio": "Ratio of base form to acid form",
        "form": "The substance is",
        "ionised_ratio": "Ratio of ionised to unionised",
        "concentration": "Concentration of both forms together",
        "added": "Strong acid or base added, in one litre",
        "change": "Change of pH",
    },
    "result": {
        "ph": "pH",
        "pka": "pKa",
        "ka": "Ka",
        "ratio": "Base form to acid form",
        "base_percent": "Base form",
        "acid_percent": "Acid form",
        "base_fraction": "Fraction of base form",
        "acid_fraction": "Fraction of acid form",
        "ionised_percent": "Ionised",
        "unionised_percent": "Unionised",
        "ionised_ratio": "Ionised to unionised",
        "capacity": "Buffer capacity",
        "greatest_capacity": "Greatest capacity, at pH = pKa",
    },
    "buffer_ratio": {
        "title": "Ratio of a buffer pair",
        "about": "In which ratio, and in which fractions, the base form and the acid form stand "
        "at a pH.",
        "source": _HENDERSON,
        "limits": _DILUTE,
        "caution": "Adjust the finished buffer by a calibrated pH meter.",
    },
    "buffer_ph": {
        "title": "pH of a buffer",
        "about": "The pH of a weak acid with its salt, from their concentrations or their ratio.",
        "source": _HENDERSON,
        "limits": _DILUTE,
        "caution": "Measure the pH of the finished solution.",
    },
    "ionisation": {
        "title": "Ionised part of an acid or a base",
        "about": "How much of a weak acid or base is ionised at a pH, or at which pH it is "
        "ionised so far.",
        "source": "Henderson and Hasselbalch: log (ionised / unionised) = pH − pKa for an acid, "
        "pKa − pH for a base.",
        "limits": "One ionising group.",
        "caution": "For a base, the pKa is that of its conjugate acid.",
    },
    "ka_and_pka": {
        "title": "Ka and pKa",
        "about": "pKa from Ka, or Ka from pKa.",
        "source": "pKa = −log Ka.",
        "limits": "Values hold for one temperature.",
        "caution": "Say at which temperature, and for which step of an acid with several.",
    },
    "buffer_capacity": {
        "title": "Buffer capacity",
        "about": "How much strong acid or base in one litre changes the pH by one unit.",
        "source": "Van Slyke: capacity = 2.303 x C x Ka x [H+] / (Ka + [H+])²; or found by "
        "titration, added / change of pH.",
        "limits": "One buffer pair; the part of water itself, which counts below pH 3 and above "
        "pH 11, is left out.",
        "caution": "A capacity found holds for small changes of pH only.",
    },
    "step": {
        "pka": "pKa = −log {ka} = {pka}",
        "ka": "Ka = 10^−{pka} = {ka}",
        "ratio": "10^({ph} − {pka}) = {ratio} of base form for 1 of acid form",
        "fractions": "{ratio} / (1 + {ratio}) = {base} % base form, {acid} % acid form",
        "given_ratio": "{base} / {acid} = {ratio}",
        "ph": "{pka} + log {ratio} = {ph}",
        "ph_of_base": "{pka} − log {ratio} = {ph}",
        "ionised": "10^({sign}({ph} − {pka})) = {ratio} ionised for 1 unionised",
        "ionised_percent": "{ratio} / (1 + {ratio}) = {percent} % ionised",
        "capacity": "{ln10} x {concentration} x {ratio} / (1 + {ratio})² = {capacity}",
        "found": "{added} / {change} = {capacity} for one unit of pH",
    },
    "one_pka": "Give either pKa or Ka.",
    "one_ratio": "Give either the two concentrations or their ratio.",
    "one_of_ph": "Give either the pH or the ratio of ionised to unionised.",
    "one_capacity": "Give either concentration, pH and pKa, or what was added and the change of "
    "pH.",
    "not_molar": "{strength} isn’t a concentration by amount of substance. Give mol/L or mmol/L.",
    "no_constant": "“{typed}” isn’t a dissociation constant. Write 0.0000338 or 3.38e-5.",
    "far": "The pH is more than 1 from the pKa: this pair buffers little here.",
    "outside_ph": "The pH comes to {ph}, outside 0 to 14; the equation doesn’t hold there.",
}
say = brief_speaker(AREA)
WHOLE = 100
TEN = Fraction(10)
LARGEST_EXPONENT = 30
MOST_PH = Fraction(14)
DECIMALS = 12
ACID, BASE = "acid", "base"
# In scientific writing one digit stands before the sign, so that it can only be a decimal sign.
_SCIENTIFIC = re.compile(
    r"(?P<digits>[1-9](?:[.,][0-9]+)?) ?(?:[eE]|[x×*·] ?10 ?\^? ?)(?P<power>[-−+]?[0-9]{1,2})"
)


def base_to_acid(ph: Fraction, pka: Fraction) -> Fraction:
    """Return the ratio of base form to acid form at a pH."""
    return power(TEN, ph - pka)


def constant_of(given: Given) -> Working[Fraction]:
    """Return the pKa, however it was given. Raises Refusal unless it was given in one way."""
    if given_one(given, ("pka", "ka"), say("one_pka")) == "pka":
        return Working(given.number("pka"), ())
    ka = _ka(given)
    pka = -common_logarithm(ka)
    return Working(pka, (say("step.pka", ka=ka, pka=pka),))


def _ka(given: Given) -> Fraction:
    """Return Ka, typed as a decimal or in scientific writing."""
    typed = given.values["ka"]
    if isinstance(typed, Fraction):
        return typed
    found = _SCIENTIFIC.fullmatch(str(typed))
    if found is None:
        raise BadText(say("no_constant", typed=str(typed)), field="ka")
    exponent = int(found["power"].replace("−", "-"))
    return Fraction(found["digits"].replace(",", ".")) * TEN**exponent


def ratio(given: Given) -> Outcome:
    """Return ratio and fractions of a buffer pair at a pH."""
    pka, ph = constant_of(given), given.number("ph")
    found = base_to_acid(ph, pka.result)
    first = say("step.ratio", ph=ph, pka=pka.result, ratio=found)
    return _pair(found, (*pka.steps, first), _far(ph, pka.result))


def _pair(found: Fraction, steps: tuple[Message, ...], findings: tuple[Finding, ...]) -> Outcome:
    base = found / (1 + found)
    acid = 1 / (1 + found)
    results = brief_results(
        Result("ratio", Number(found, rounded=True)),
        Result("base_percent", Number(base * WHOLE, "%", rounded=True)),
        Result("acid_percent", Number(acid * WHOLE, "%", rounded=True)),
        Result("base_fraction", Number(base, rounded=True)),
        Result("acid_fraction", Number(acid, rounded=True)),
    )
    last = say("step.fractions", ratio=found, base=base * WHOLE, acid=acid * WHOLE)
    return Outcome(results, (*steps, last), findings)


def _far(ph: Fraction, pka: Fraction) -> tuple[Finding, ...]:
    return (caution(say("far"), "ph"),) if abs(ph - pka) > 1 else ()


def find_ph(given: Given) -> Outcome:
    """Return the pH of a buffer from the concentrations or the ratio of its forms."""
    pka, found = constant_of(given), _given_ratio(given)
    ph = _in_range(pka.result + common_logarithm(found.result))
    last = say("step.ph", pka=pka.result, ratio=found.result, ph=ph)
    results = (
        *brief_results(Result("ph", Number(ph, rounded=True))),
        Result("pka", Number(brief_number(pka.result), rounded=bool(pka.steps))),
        Result("ratio", Number(found.result)),
    )
    return Outcome(results, (*pka.steps, *found.steps, last), _far(ph, pka.result))


def _in_range(exact: Fraction) -> Fraction:
    """Return a pH rounded to 12 decimals. Raises Refusal outside 0 to 14."""
    ph = round(exact, DECIMALS)
    if not 0 <= ph <= MOST_PH:
        raise Refusal(say("outside_ph", ph=ph))
    return ph


def _given_ratio(given: Given) -> Working[Fraction]:
    by_forms = given.has("base") and given.has("acid")
    if given.has("base") != given.has("acid") or by_forms == given.has("ratio"):
        raise Refusal(say("one_ratio"))
    if not by_forms:
        return Working(given.number("ratio"), ())
    base, acid = (molar(given, name) for name in ("base", "acid"))
    step = say("step.given_ratio", base=_shown(base), acid=_shown(acid), ratio=base / acid)
    return Working(base / acid, (step,))


def molar(given: Given, name: str) -> Fraction:
    """Return a concentration in mol/L; a bare number is that already."""
    value = given.values[name]
    if isinstance(value, Fraction):
        return value
    strength = given.strength(name)
    part, _, whole = strength.unit.partition("/")
    if part not in ("mol", "mmol", "micromole") or whole not in ("L", "mL", "microlitre"):
        raise Refusal(say("not_molar", strength=strength))
    return strength.number * factor(part, "mol") / factor(whole, "L")


def _shown(number: Fraction) -> Concentration:
    return Concentration(number, "mol/L")


def ionise(given: Given) -> Outcome:
    """Return how much is ionised at a pH, or the pH at which it is ionised so far."""
    pka, is_acid = constant_of(given), given.text("form") == ACID
    if given_one(given, ("ph", "ionised_ratio"), say("one_of_ph")) == "ph":
        ph = given.number("ph")
        found = power(TEN, ph - pka.result if is_acid else pka.result - ph)
        sign = "" if is_acid else "−"
        first = say("step.ionised", sign=sign, ph=ph, pka=pka.result, ratio=found)
    else:
        found = given.number("ionised_ratio")
        shift = common_logarithm(found)
        ph = _in_range(pka.result + shift if is_acid else pka.result - shift)
        key = "step.ph" if is_acid else "step.ph_of_base"
        first = say(key, pka=pka.result, ratio=found, ph=ph)
    percent = found / (1 + found) * WHOLE
    results = brief_results(
        Result("ionised_percent", Number(percent, "%", rounded=True)),
        Result("unionised_percent", Number(WHOLE / (1 + found), "%", rounded=True)),
        Result("ionised_ratio", Number(found, rounded=True)),
        Result("ph", Number(ph, rounded=True)),
    )
    last = say("step.ionised_percent", ratio=found, percent=percent)
    return Outcome(results, (*pka.steps, first, last))


def turn_constant(given: Given) -> Outcome:
    """Return Ka and pKa from either."""
    pka = constant_of(given)
    if given.has("ka"):
        ka, steps = _ka(given), pka.steps
    else:
        ka = power(TEN, -pka.result)
        steps = (say("step.ka", pka=pka.result, ka=ka),)
    results = brief_results(
        Result("pka", Number(pka.result, rounded=given.has("ka"))),
        Result("ka", Number(ka, rounded=given.has("pka"))),
    )
    return Outcome(results, steps)


def capacity(given: Given) -> Outcome:
    """Return the buffer capacity, by Van Slyke's equation or as found by titration."""
    by_titration = [given.has(name) for name in ("added", "change")]
    by_sum = [given.has(name) for name in ("concentration", "ph")]
    by_sum.append(given.has("pka") or given.has("ka"))
    if all(by_titration) and not any(by_sum):
        return _found_capacity(given)
    if all(by_sum) and not any(by_titration):
        return _van_slyke(given)
    raise Refusal(say("one_capacity"))


def _found_capacity(given: Given) -> Outcome:
    added, change = molar(given, "added"), given.number("change")
    found = _shown(added / change)
    step = say("step.found", added=_shown(added), change=change, capacity=found)
    return Outcome((Result("capacity", found),), (step,))


def _van_slyke(given: Given) -> Outcome:
    pka, ph, whole = constant_of(given), given.number("ph"), molar(given, "concentration")
    found = base_to_acid(ph, pka.result)
    ln10 = natural_logarithm(TEN)
    value = _shown(ln10 * whole * found / (1 + found) ** 2)
    results = brief_results(
        Result("capacity", value),
        Result("greatest_capacity", _shown(ln10 * whole / 4)),
    )
    steps = (
        *pka.steps,
        say("step.ratio", ph=ph, pka=pka.result, ratio=found),
        say("step.capacity", ln10=ln10, concentration=_shown(whole), ratio=found, capacity=value),
    )
    return Outcome(results, steps, _far(ph, pka.result))


NUMBER = (Kind.NUMBER,)
MOLAR = (Kind.STRENGTH, Kind.NUMBER)
PH = Input("ph", NUMBER, positive=False, least=Fraction(0), most=MOST_PH)
OPTIONAL_PH = Input("ph", NUMBER, optional=True, positive=False, least=Fraction(0), most=MOST_PH)
PKA = Input(
    "pka",
    NUMBER,
    optional=True,
    positive=False,
    least=Fraction(-10),
    most=Fraction(LARGEST_EXPONENT),
)
KA = Input("ka", (Kind.NUMBER, Kind.TEXT), optional=True)
CALCULATIONS = (
    Calculation("buffer-ratio", AREA, (PH, PKA, KA), ratio, (("ph", "5"), ("pka", "4.76"))),
    Calculation(
        "buffer-ph",
        AREA,
        (
            PKA,
            KA,
            Input("base", MOLAR, optional=True),
            Input("acid", MOLAR, optional=True),
            Input("ratio", NUMBER, optional=True),
        ),
        find_ph,
        (("ka", "3.38e-5"), ("base", "0.3 mol/L"), ("acid", "0.7 mol/L")),
    ),
    Calculation(
        "ionisation",
        AREA,
        (
            Input("form", (Kind.CHOICE,), default=ACID, choices=(ACID, BASE)),
            PKA,
            KA,
            OPTIONAL_PH,
            Input("ionised_ratio", NUMBER, optional=True),
        ),
        ionise,
        (("form", "acid"), ("pka", "2.2"), ("ionised_ratio", "1000")),
    ),
    Calculation("ka-and-pka", AREA, (PKA, KA), turn_constant, (("ka", "3.38e-5"),)),
    Calculation(
        "buffer-capacity",
        AREA,
        (
            Input("concentration", MOLAR, optional=True),
            OPTIONAL_PH,
            PKA,
            KA,
            Input("added", MOLAR, optional=True),
            Input("change", NUMBER, optional=True),
        ),
        capacity,
        (("concentration", "0.1 mol/L"), ("ph", "5"), ("pka", "4.76")),
    ),
)
