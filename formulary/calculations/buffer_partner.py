"""How much of the one form a buffer needs beside an amount of the other."""

from __future__ import annotations

from formulary.calculating.acids import (
    CONSTANT,
    amount_or_molar_input,
    as_molar,
    constant_of,
    molar,
    molar_input,
)
from formulary.calculating.brief import brief_results, brief_speaker
from formulary.calculating.choosing import given_one
from formulary.calculating.describing import Calculation, Input, Kind
from formulary.calculating.outcome import Number, Outcome, Result
from formulary.calculating.values import Given
from formulary.calculations.buffers import PH, base_to_acid
from formulary.errors import Refusal
from formulary.messages import Message
from formulary.quantity.amount import Amount
from formulary.quantity.writing import convenient
from formulary.working import Working

AREA = "buffer_partner"
TEXTS = {
    "input": {
        "ph": "pH wanted",
        "pka": "pKa of the acid",
        "ka": "Ka of the acid",
        "pkb": "pKb of the base",
        "kb": "Kb of the base",
        "acid": "Acid form at hand: amount, or concentration with the volume",
        "base": "Base form at hand: amount, or concentration with the volume",
        "volume": "Volume of the solution at hand",
        "molar_mass": "Molar mass of the other form, as weighed",
        "stock": "Stock solution of the other form",
    },
    "result": {
        "amount": "Other form, amount of substance",
        "mass": "Other form to weigh",
        "stock_volume": "Stock solution of the other form",
        "ratio": "Base form to acid form",
    },
    "buffer_partner": {
        "title": "Other form for a buffer",
        "words": "pH, pKa, Henderson-Hasselbalch, salt, weak acid",
        "about": "How much of the salt makes a buffer of a weak acid at hand, or of the acid from "
        "its salt.",
        "source": "Henderson and Hasselbalch: pH = pKa + log (base / acid).",
        "limits": "Dilute solutions at the temperature of the pKa; concentrations stand for "
        "activities.",
        "caution": "Adjust the finished buffer by a calibrated pH meter.",
    },
    "step": {
        "ratio": "10^({ph} − {pka}) = {ratio} of base form for 1 of acid form",
        "at_hand": "{concentration} x {volume} = {amount} at hand",
        "base": "{known} x {ratio} = {amount} of base form",
        "acid": "{known} / {ratio} = {amount} of acid form",
        "mass": "{amount} x {molar_mass} g/mol = {mass}",
        "stock": "{amount} / {stock} = {volume}",
    },
    "one_form": "Give one form: acid or base. The other is worked out.",
    "volume_needed": "A concentration needs the volume of the solution; an amount needs none.",
}
say = brief_speaker(AREA)
MILLI = 1000


def partner(given: Given) -> Outcome:
    """Return the other form: its amount of substance, and what to weigh or to measure."""
    form = given_one(given, ("acid", "base"), say("one_form"))
    pka, ph = constant_of(given), given.number("ph")
    ratio = base_to_acid(ph, pka.result)
    known = _at_hand(given, form)
    amount = known.result * (ratio if form == "acid" else 1 / ratio)
    wanted = "base" if form == "acid" else "acid"
    steps = (
        *pka.steps,
        *known.steps,
        say("step.ratio", ph=ph, pka=pka.result, ratio=ratio),
        say(f"step.{wanted}", known=known.result, ratio=ratio, amount=amount),
    )
    results, more = _taken(given, amount)
    last = Result("ratio", Number(ratio, rounded=True))
    return Outcome(brief_results(*results, Result("amount", amount), last), (*steps, *more))


def _at_hand(given: Given, form: str) -> Working[Amount]:
    """Return the form at hand in mmol."""
    if given.is_amount(form) == given.has("volume"):
        raise Refusal(say("volume_needed"))
    if given.is_amount(form):
        return Working(given.amount(form).to("mmol"), ())
    concentration, volume = molar(given, form), given.amount("volume")
    amount = Amount(concentration * volume.to("mL").number, "mmol")
    said = {"concentration": as_molar(concentration), "volume": volume, "amount": amount}
    return Working(amount, (say("step.at_hand", **said),))


def _taken(given: Given, amount: Amount) -> tuple[tuple[Result, ...], tuple[Message, ...]]:
    """Return what to weigh and what to measure, as far as was asked."""
    results: list[Result] = []
    steps: list[Message] = []
    if given.has("molar_mass"):
        molar_mass = given.number("molar_mass")
        mass = convenient(Amount(amount.number * molar_mass / MILLI, "g"))
        results.append(Result("mass", mass))
        steps.append(say("step.mass", amount=amount, molar_mass=molar_mass, mass=mass))
    if given.has("stock"):
        stock = molar(given, "stock")
        volume = convenient(Amount(amount.number / stock, "mL"))
        results.append(Result("stock_volume", volume))
        steps.append(say("step.stock", amount=amount, stock=as_molar(stock), volume=volume))
    return tuple(results), tuple(steps)


CALCULATIONS = (
    Calculation(
        "buffer-partner",
        AREA,
        (
            PH,
            *CONSTANT,
            amount_or_molar_input("acid", optional=True),
            amount_or_molar_input("base", optional=True),
            Input("volume", (Kind.VOLUME,), optional=True),
            Input("molar_mass", (Kind.MOLAR_MASS,), optional=True),
            molar_input("stock", optional=True),
        ),
        partner,
        (
            ("ph", "7.78"),
            ("pka", "7.2"),
            ("acid", "0.0264 mol/L"),
            ("volume", "87.8 mL"),
            ("molar_mass", "142"),
        ),
    ),
)
