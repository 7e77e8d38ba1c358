"""Acids and bases in solution: Henderson-Hasselbalch in every direction, pKa, and capacity.

Logarithms and powers of ten come from :mod:`formulary.calculating.numeric`: 15 digits, the answers
12. Activities are taken as concentrations.
"""

from __future__ import annotations

from fractions import Fraction

from formulary.calculating.acids import (
    CONSTANT,
    NUMBER,
    TEN,
    amount_or_molar_input,
    as_molar,
    constant_of,
    dissociation,
    molar,
    molar_input,
    moles,
)
from formulary.calculating.brief import brief_number, brief_results, brief_speaker
from formulary.calculating.choosing import given_one
from formulary.calculating.describing import Calculation, Input, Kind
from formulary.calculating.numeric import common_logarithm, natural_logarithm, power
from formulary.calculating.outcome import Number, Outcome, Result, caution
from formulary.calculating.values import Given
from formulary.errors import Refusal
from formulary.finding import Finding
from formulary.messages import Message
from formulary.quantity.amount import Amount, Concentration
from formulary.working import Working

AREA = "buffers"
_HENDERSON = "Henderson and Hasselbalch: pH = pKa + log (base / acid)."
_DILUTE = "Dilute solutions at the temperature of the pKa; concentrations stand for activities."
TEXTS = {
    "input": {
        "ph": "pH",
        "pka": "pKa of the acid",
        "ka": "Ka of the acid",
        "pkb": "pKb of the base",
        "kb": "Kb of the base",
        "base": "Base form (the salt of a weak acid, or the weak base): concentration or amount",
        "acid": "Acid form (the weak acid, or the salt of a weak base): concentration or amount",
        "base_volume": "Volume of the solution of the base form",
        "acid_volume": "Volume of the solution of the acid form",
        "wanted": "Buffer capacity wanted",
        "volume": "Volume of the buffer, where an amount was added",
        "ratio": "Ratio of base form to acid form",
        "form": "The substance is",
        "ionised_ratio": "Ratio of ionised to unionised",
        "concentration": "Concentration of both forms together",
        "added": "Strong acid or base added, in one litre or as an amount",
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
        "concentration": "Concentration of both forms together",
        "base": "Concentration of the base form",
        "acid": "Concentration of the acid form",
    },
    "buffer_ratio": {
        "title": "Ratio of a buffer pair",
        "words": "pH, pKa, Henderson-Hasselbalch, salt, acid",
        "about": "In which ratio, and in which fractions, the base form and the acid form stand "
        "at a pH.",
        "source": _HENDERSON,
        "limits": _DILUTE,
        "caution": "Adjust the finished buffer by a calibrated pH meter.",
    },
    "buffer_ph": {
        "title": "pH of a buffer",
        "words": "pH, pKa, Henderson-Hasselbalch, salt, acid",
        "about": "The pH of a weak acid with its salt, from their concentrations or their ratio.",
        "source": _HENDERSON,
        "limits": _DILUTE,
        "caution": "Measure the pH of the finished solution.",
    },
    "ionisation": {
        "title": "Ionised part of an acid or a base",
        "words": "ionization, unionised, un-ionized, pH, pKa, dissociated, solubility, weak "
        "acid, weak base",
        "about": "How much of a weak acid or base is ionised at a pH, or at which pH it is "
        "ionised so far.",
        "source": "Henderson and Hasselbalch: log (ionised / unionised) = pH − pKa for an acid, "
        "pKa − pH for a base.",
        "limits": "One ionising group.",
        "caution": "For a base, the pKa is that of its conjugate acid.",
    },
    "ka_and_pka": {
        "title": "Ka and pKa",
        "words": "acid constant, dissociation constant, logarithm, pKb",
        "about": "pKa from Ka, or Ka from pKa.",
        "source": "pKa = −log Ka.",
        "limits": "Values hold for one temperature.",
        "caution": "Say at which temperature, and for which step of an acid with several.",
    },
    "buffer_capacity": {
        "title": "Buffer capacity",
        "words": "pH, van Slyke, beta, resistance",
        "about": "How much strong acid or base in one litre changes the pH by one unit.",
        "source": "Van Slyke: capacity = 2.303 x C x Ka x [H+] / (Ka + [H+])²; or found by "
        "titration, added / change of pH.",
        "limits": "One buffer pair; the part of water itself, which counts below pH 3 and above "
        "pH 11, is left out.",
        "caution": "A capacity found holds for small changes of pH only.",
    },
    "step": {
        "pka": "pKa = −log {ka} = {pka}",
        "pkb": "pKb = −log {kb} = {pkb}",
        "pka_of_base": "pKa = 14 − {pkb} = {pka}, at 25 °C",
        "moles": "{concentration} x {volume} = {amount}",
        "needed": "{wanted} / ({ln10} x {ratio} / (1 + {ratio})²) = {concentration} of both forms",
        "each": "{concentration} x {ratio} / (1 + {ratio}) = {base} of base form, the rest {acid} "
        "of acid form",
        "in_litre": "{amount} / {volume} = {added} in one litre",
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
    "one_pka": "Give one of pKa, Ka, pKb and Kb.",
    "both_volumes": "Give the volumes of both solutions, with their concentrations.",
    "amounts_and_concentrations": "Give all as amounts of substance, or all as concentrations.",
    "amount_needs_volume": "An amount that was added needs the volume of the buffer, and a volume "
    "needs an amount.",
    "one_ratio": "Give either the two concentrations or their ratio.",
    "one_of_ph": "Give either the pH or the ratio of ionised to unionised.",
    "one_capacity": "Give concentration, pH and pKa; or the capacity wanted, pH and pKa; or what "
    "was added and the change of pH.",
    "not_molar": "{strength} isn’t a concentration by amount of substance. Give mol/L or mmol/L.",
    "no_constant": "“{typed}” isn’t a dissociation constant. Write 0.0000338 or 3.38e-5.",
    "far": "The pH is more than 1 from the pKa: this pair buffers little here.",
    "outside_ph": "The pH comes to {ph}, outside 0 to 14; the equation doesn’t hold there.",
}
say = brief_speaker(AREA)
WHOLE = 100
MOST_PH = Fraction(14)
DECIMALS = 12
ACID, BASE = "acid", "base"


def base_to_acid(ph: Fraction, pka: Fraction) -> Fraction:
    """Return the ratio of base form to acid form at a pH."""
    return power(TEN, ph - pka)


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
    forms = _forms(given)
    base, acid = forms.result
    step = say("step.given_ratio", base=base, acid=acid, ratio=base.number / acid.number)
    return Working(base.number / acid.number, (*forms.steps, step))


def _forms(given: Given) -> Working[tuple[Amount, Amount] | tuple[Concentration, Concentration]]:
    """Return base and acid form as amounts of substance, or both as concentrations."""
    volumes = [given.has(f"{form}_volume") for form in ("base", "acid")]
    amounts = moles(given, "base", "acid")
    if any(volumes) and (amounts or not all(volumes)):
        raise Refusal(say("both_volumes"))
    if amounts:
        return Working((amounts["base"], amounts["acid"]), ())
    strengths = (as_molar(molar(given, "base")), as_molar(molar(given, "acid")))
    if not any(volumes):
        return Working(strengths, ())
    steps: list[Message] = []
    mixed: list[Amount] = []
    for form, strength in zip(("base", "acid"), strengths, strict=True):
        volume = given.amount(f"{form}_volume")
        mixed.append(Amount(strength.number * volume.to("L").number, "mol"))
        steps.append(say("step.moles", concentration=strength, volume=volume, amount=mixed[-1]))
    return Working((mixed[0], mixed[1]), tuple(steps))


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
        ka, steps = dissociation(given, "ka"), pka.steps
    else:
        ka = power(TEN, -pka.result)
        steps = (*pka.steps, say("step.ka", pka=pka.result, ka=ka))
    results = brief_results(
        Result("pka", Number(pka.result, rounded=given.has("ka") or given.has("kb"))),
        Result("ka", Number(ka, rounded=not given.has("ka"))),
    )
    return Outcome(results, steps)


def capacity(given: Given) -> Outcome:
    """Return the buffer capacity, by Van Slyke's equation or as found by titration."""
    ways = ("concentration", "wanted", "change")
    way = given_one(given, ways, say("one_capacity"))
    by_titration = way == "change"
    constant = any(given.has(each.name) for each in CONSTANT)
    if given.has("added") != by_titration or (given.has("ph") and constant) == by_titration:
        raise Refusal(say("one_capacity"))
    if by_titration:
        return _found_capacity(given)
    return _van_slyke(given) if way == "concentration" else _concentration_for(given)


def _found_capacity(given: Given) -> Outcome:
    added, change = _added(given), given.number("change")
    found = as_molar(added.result / change)
    step = say("step.found", added=as_molar(added.result), change=change, capacity=found)
    return Outcome((Result("capacity", found),), (*added.steps, step))


def _added(given: Given) -> Working[Fraction]:
    """Return what was added in one litre, in mol."""
    if given.is_amount("added") != given.has("volume"):
        raise Refusal(say("amount_needs_volume"))
    if not given.has("volume"):
        return Working(molar(given, "added"), ())
    amount, volume = given.amount("added").to("mol"), given.amount("volume")
    added = amount.number / volume.to("L").number
    step = say("step.in_litre", amount=amount, volume=volume, added=as_molar(added))
    return Working(added, (step,))


def _concentration_for(given: Given) -> Outcome:
    """Return the concentrations that give a capacity at a pH."""
    pka, ph, wanted = constant_of(given), given.number("ph"), molar(given, "wanted")
    found = base_to_acid(ph, pka.result)
    ln10 = natural_logarithm(TEN)
    whole = wanted / (ln10 * found / (1 + found) ** 2)
    base = as_molar(whole * found / (1 + found))
    acid = as_molar(whole - base.number)
    both = as_molar(whole)
    named = {"concentration": both, "base": base, "acid": acid}
    results = brief_results(*(Result(name, each) for name, each in named.items()))
    steps = (
        *pka.steps,
        say("step.ratio", ph=ph, pka=pka.result, ratio=found),
        say("step.each", ratio=found, **named),
        say("step.needed", wanted=as_molar(wanted), ln10=ln10, ratio=found, concentration=both),
    )
    return Outcome(results, steps, _far(ph, pka.result))


def _van_slyke(given: Given) -> Outcome:
    pka, ph, whole = constant_of(given), given.number("ph"), molar(given, "concentration")
    found = base_to_acid(ph, pka.result)
    ln10 = natural_logarithm(TEN)
    value = as_molar(ln10 * whole * found / (1 + found) ** 2)
    results = brief_results(
        Result("capacity", value),
        Result("greatest_capacity", as_molar(ln10 * whole / 4)),
    )
    steps = (
        *pka.steps,
        say("step.ratio", ph=ph, pka=pka.result, ratio=found),
        say("step.capacity", ln10=ln10, concentration=as_molar(whole), ratio=found, capacity=value),
    )
    return Outcome(results, steps, _far(ph, pka.result))


PH = Input("ph", NUMBER, positive=False, least=Fraction(0), most=MOST_PH)
OPTIONAL_PH = Input("ph", NUMBER, optional=True, positive=False, least=Fraction(0), most=MOST_PH)
CALCULATIONS = (
    Calculation("buffer-ratio", AREA, (PH, *CONSTANT), ratio, (("ph", "5"), ("pka", "4.76"))),
    Calculation(
        "buffer-ph",
        AREA,
        (
            *CONSTANT,
            amount_or_molar_input("base", optional=True),
            amount_or_molar_input("acid", optional=True),
            Input("base_volume", (Kind.VOLUME,), optional=True),
            Input("acid_volume", (Kind.VOLUME,), optional=True),
            Input("ratio", NUMBER, optional=True),
        ),
        find_ph,
        (("ka", "3.38e-5"), ("base", "0.3 mol/L"), ("acid", "0.7 mol/L")),
    ),
    Calculation(
        "ionisation",
        AREA,
        (
            Input("form", (Kind.CHOICE,), choices=(ACID, BASE)),
            *CONSTANT,
            OPTIONAL_PH,
            Input("ionised_ratio", NUMBER, optional=True),
        ),
        ionise,
        (("form", "acid"), ("pka", "2.2"), ("ionised_ratio", "1000")),
    ),
    Calculation("ka-and-pka", AREA, CONSTANT, turn_constant, (("ka", "3.38e-5"),)),
    Calculation(
        "buffer-capacity",
        AREA,
        (
            molar_input("concentration", optional=True),
            OPTIONAL_PH,
            *CONSTANT,
            molar_input("wanted", optional=True),
            amount_or_molar_input("added", optional=True),
            Input("volume", (Kind.VOLUME,), optional=True),
            Input("change", NUMBER, optional=True),
        ),
        capacity,
        (("concentration", "0.1 mol/L"), ("ph", "5"), ("pka", "4.76")),
    ),
)
