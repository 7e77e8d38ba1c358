"""Making a buffer: from stock solutions, from weighed forms, and borate buffer by its table."""

from __future__ import annotations

from fractions import Fraction

from formulary.calculating.acids import (
    CONSTANT,
    as_molar,
    constant_of,
    molar,
    molar_input,
)
from formulary.calculating.brief import brief_results, brief_speaker
from formulary.calculating.describing import Calculation, Input, Kind
from formulary.calculating.lists import row_findings
from formulary.calculating.outcome import Outcome, Result, note
from formulary.calculating.tables import table
from formulary.calculating.values import Given
from formulary.calculations.buffers import PH, base_to_acid
from formulary.errors import Refusal
from formulary.messages import Message
from formulary.quantity.amount import Amount, Concentration
from formulary.quantity.writing import convenient

AREA = "buffer_making"
TEXTS = {
    "input": {
        "volume": "Volume of buffer",
        "concentration": "Concentration of both forms together",
        "ph": "pH wanted",
        "pka": "pKa of the acid",
        "ka": "Ka of the acid",
        "pkb": "pKb of the base",
        "kb": "Kb of the base",
        "acid_stock": "Stock solution of the acid form",
        "base_stock": "Stock solution of the base form",
        "acid_molar_mass": "Molar mass of the acid form, as weighed",
        "base_molar_mass": "Molar mass of the base form, as weighed",
        "strong_base": "Strong base that turns the acid form, its solution",
        "strong_acid": "Strong acid that turns the base form, its solution",
    },
    "result": {
        "base_amount": "Base form, amount of substance",
        "acid_amount": "Acid form, amount of substance",
        "base_volume": "Stock of the base form",
        "acid_volume": "Stock of the acid form",
        "water": "Water to the mark, about",
        "base_mass": "Base form to weigh",
        "acid_mass": "Acid form to weigh",
        "strong_base_volume": "Strong base to add, about",
        "strong_acid_volume": "Strong acid to add, about",
        "boric_acid": "Boric acid",
        "borax": "Borax (sodium tetraborate decahydrate)",
        "sodium_chloride": "Sodium chloride",
    },
    "buffer_making": {
        "title": "Making a buffer",
        "words": "pH, pKa, Henderson-Hasselbalch, acetate, phosphate, citrate, trometamol, molar",
        "about": "Stock solutions to measure, or substances to weigh, for a buffer of a pH and a "
        "concentration.",
        "source": "Henderson and Hasselbalch for the ratio; amount = concentration x volume.",
        "limits": "Dilute solutions at the temperature of the pKa; concentrations stand for "
        "activities.",
        "caution": "Make up to a little less than the mark, adjust by a calibrated pH meter, then "
        "fill up.",
    },
    "borate_buffer": {
        "title": "Isotonic borate buffer",
        "words": "pH, eye drops, ophthalmic, collyrium, boric acid, borax, isotonic, Palitzsch",
        "about": "Boric acid, borax and sodium chloride for a volume of isotonic borate buffer.",
        "source": "University pharmaceutics laboratory manual FAR 222, p. 29; see the table.",
        "limits": "Only the pH values of the table; nothing is interpolated.",
        "caution": "Boric acid is not for young children, broken skin or injections. Measure pH "
        "and osmolality.",
    },
    "step": {
        "ratio": "10^({ph} − {pka}) = {ratio} of base form for 1 of acid form",
        "whole": "{concentration} x {volume} = {amount} of both forms",
        "base": "{amount} x {ratio} / (1 + {ratio}) = {base} of base form",
        "acid": "{amount} − {base} = {acid} of acid form",
        "measure": "{amount} / {stock} = {volume}",
        "weigh": "{amount} x {molar_mass} g/mol = {mass}",
        "fill": "Make up with water to {volume}; that takes about {water}.",
        "make_up": "Dissolve and make up with water to {volume}.",
        "all_of_it": "All of it comes from one form: {amount}",
        "turned": "{amount} / {stock} = {volume} of the strong solution",
        "row": "{strength} x {volume} = {mass}",
    },
    "one_way": "Give either both stock solutions or both molar masses; or a strong base with the "
    "acid form alone, or a strong acid with the base form alone.",
    "too_strong": "The stock solutions come to {taken}, more than the {volume} to make. They are "
    "too weak for this concentration.",
    "not_in_table": "The table has no borate buffer of pH {ph}. It has {known}.",
    "make_up_note": "Volumes of solutions needn’t add exactly: make up to the mark.",
}
say = brief_speaker(AREA)
MILLI = 1000
FORMS = ("base", "acid")
TURNED = {"strong_base": ("acid", "base"), "strong_acid": ("base", "acid")}
"""Of which form a strong solution makes which."""


def make(given: Given) -> Outcome:
    """Return what a buffer takes, from stock solutions or by weighing."""
    pka, ph = constant_of(given), given.number("ph")
    ratio = base_to_acid(ph, pka.result)
    volume, concentration = given.amount("volume").to("mL"), molar(given, "concentration")
    whole = Amount(concentration * volume.number, "mmol")
    base = whole * (ratio / (1 + ratio))
    amounts = {"base": base, "acid": whole - base}
    shown = Concentration(concentration, "mol/L")
    steps = (
        *pka.steps,
        say("step.ratio", ph=ph, pka=pka.result, ratio=ratio),
        say("step.whole", concentration=shown, volume=volume, amount=whole),
        say("step.base", amount=whole, ratio=ratio, base=base),
        say("step.acid", amount=whole, base=base, acid=amounts["acid"]),
    )
    taken = _taken(given, amounts, volume)
    results = (Result(f"{form}_amount", amounts[form]) for form in FORMS)
    return Outcome(brief_results(*taken.results, *results), (*steps, *taken.steps), taken.findings)


def _taken(given: Given, amounts: dict[str, Amount], volume: Amount) -> Outcome:
    strong = [name for name in TURNED if given.has(name)]
    if strong:
        return _turned(given, amounts, volume, strong[0])
    by_stock, by_mass = (
        [given.has(f"{form}_{what}") for form in FORMS] for what in ("stock", "molar_mass")
    )
    if all(by_stock) and not any(by_mass):
        return _measured(given, amounts, volume)
    if all(by_mass) and not any(by_stock):
        return _weighed(given, amounts, volume)
    raise Refusal(say("one_way"))


def _turned(given: Given, amounts: dict[str, Amount], volume: Amount, strong: str) -> Outcome:
    """Return what is taken of one form, and the strong solution that turns a part of it."""
    form, other = TURNED[strong]
    stocks, masses = ([f"{each}_{what}" for each in FORMS] for what in ("stock", "molar_mass"))
    named = [name for name in (*stocks, *masses, *TURNED) if given.has(name) and name != strong]
    if named not in ([f"{form}_stock"], [f"{form}_molar_mass"]):
        raise Refusal(say("one_way"))
    whole = amounts["base"] + amounts["acid"]
    by_stock = named == [f"{form}_stock"]
    taken, said = (_stock if by_stock else _mass)(given, form, whole)
    stock = molar(given, strong)
    turning = Amount(amounts[other].number / stock, "mL")
    together = turning + taken if by_stock else turning
    if together > volume:
        raise Refusal(say("too_strong", taken=together, volume=volume))
    shown = {"stock": as_molar(stock), "volume": turning}
    results = (
        Result(f"{form}_{'volume' if by_stock else 'mass'}", convenient(taken)),
        Result(f"{strong}_volume", convenient(turning)),
    )
    steps = (
        say("step.all_of_it", amount=whole),
        said,
        say("step.turned", amount=amounts[other], **shown),
        say("step.make_up", volume=volume),
    )
    return Outcome(results, steps, (note(say("make_up_note")),))


def _stock(given: Given, form: str, amount: Amount) -> tuple[Amount, Message]:
    """Return the stock solution that holds an amount of a form."""
    stock = molar(given, f"{form}_stock")
    volume = Amount(amount.number / stock, "mL")
    return volume, say("step.measure", amount=amount, stock=as_molar(stock), volume=volume)


def _mass(given: Given, form: str, amount: Amount) -> tuple[Amount, Message]:
    """Return the mass of an amount of a form."""
    molar_mass = given.number(f"{form}_molar_mass")
    mass = convenient(Amount(amount.number * molar_mass / MILLI, "g"))
    return mass, say("step.weigh", amount=amount, molar_mass=molar_mass, mass=mass)


def _measured(given: Given, amounts: dict[str, Amount], volume: Amount) -> Outcome:
    taken: list[Amount] = []
    steps: list[Message] = []
    for form in FORMS:
        stock, said = _stock(given, form, amounts[form])
        taken.append(stock)
        steps.append(said)
    together = taken[0] + taken[1]
    if together > volume:
        raise Refusal(say("too_strong", taken=together, volume=volume))
    water = volume - together
    results = (
        *(Result(f"{form}_volume", convenient(v)) for form, v in zip(FORMS, taken, strict=True)),
        Result("water", convenient(water)),
    )
    steps.append(say("step.fill", volume=volume, water=convenient(water)))
    return Outcome(results, tuple(steps), (note(say("make_up_note")),))


def _weighed(given: Given, amounts: dict[str, Amount], volume: Amount) -> Outcome:
    results: list[Result] = []
    steps: list[Message] = []
    for form in FORMS:
        mass, said = _mass(given, form, amounts[form])
        results.append(Result(f"{form}_mass", mass))
        steps.append(said)
    steps.append(say("step.make_up", volume=volume))
    return Outcome(tuple(results), tuple(steps))


def borate(given: Given) -> Outcome:
    """Return what an isotonic borate buffer takes, by its table."""
    ph, volume = given.number("ph"), given.amount("volume").to("L")
    rows = {Fraction(row["ph"]): row for row in table("borate-buffer")}
    if ph not in rows:
        raise Refusal(say("not_in_table", ph=ph, known=tuple(rows)))
    results: list[Result] = []
    steps: list[Message] = []
    for name in ("boric_acid", "borax", "sodium_chloride"):
        strength = Concentration(Fraction(rows[ph][f"{name}_g_per_l"]), "g/L")
        mass = convenient(Amount(strength.number * volume.number, "g"))
        results.append(Result(name, mass))
        steps.append(say("step.row", strength=strength, volume=volume, mass=mass))
    steps.append(say("step.make_up", volume=volume))
    title = say("borate_buffer.title")
    return Outcome(tuple(results), tuple(steps), row_findings(rows[ph], title, "ph"))


VOLUME = Input("volume", (Kind.VOLUME,))
MOLAR_MASS = (Kind.MOLAR_MASS,)
CALCULATIONS = (
    Calculation(
        "buffer-making",
        AREA,
        (
            VOLUME,
            molar_input("concentration"),
            PH,
            *CONSTANT,
            molar_input("acid_stock", optional=True),
            molar_input("base_stock", optional=True),
            Input("acid_molar_mass", MOLAR_MASS, optional=True),
            Input("base_molar_mass", MOLAR_MASS, optional=True),
            molar_input("strong_base", optional=True),
            molar_input("strong_acid", optional=True),
        ),
        make,
        (
            ("volume", "1000 mL"),
            ("concentration", "0.1 mol/L"),
            ("ph", "5"),
            ("pka", "4.76"),
            ("acid_stock", "1 mol/L"),
            ("base_stock", "1 mol/L"),
        ),
    ),
    Calculation("borate-buffer", AREA, (VOLUME, PH), borate, (("volume", "100 mL"), ("ph", "7.4"))),
)
