"""Dilution of a stock, once or in a series, and concentration by taking the solvent away."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from formulary.calculating.choosing import left_out, numbered
from formulary.calculating.describing import Calculation, Input, Kind, speaker
from formulary.calculating.outcome import Number, Outcome, Result, note
from formulary.calculating.strengths import (
    ANY,
    WHOLE,
    alike,
    as_value,
    require_fit,
    shown,
    typed_unit,
)
from formulary.calculating.values import Given
from formulary.errors import Refusal
from formulary.messages import Message
from formulary.quantity import units
from formulary.quantity.amount import Amount, Concentration, OneIn
from formulary.quantity.writing import convenient, in_one_unit

AREA = "dilution"
MOST_STEPS = 20
TEXTS = {
    "input": {
        "stock_strength": "Strength of the stock",
        "target_strength": "Strength wanted",
        "target": "Amount to make",
        "stock": "Stock at hand or to take",
        "steps": "Number of steps",
        "factor": "Dilution at each step",
        "volume": "Made at each step",
    },
    "result": {
        "stock": "Stock to take",
        "total": "Amount made",
        "diluent": "Diluent",
        "strength": "Strength made",
        "stock_strength": "Strength of the stock",
        "one_in": "One part in",
        "transfer": "Carried over at each step",
        "last_transfer": "Carried over at the last step",
        "factor": "Dilution at each step",
        "last_factor": "Dilution at the last step",
        "steps": "Number of steps",
        "removed": "Solvent to take away",
    },
    "dilution": {
        "title": "Dilution of a stock",
        "words": "C1V1, C1V1 = C2V2, stock solution, dilute, percent, ratio strength, make up "
        "to volume, water to add",
        "about": "Stock to take, amount made, strength made or strength the stock must have.",
        "source": "Conservation of the dissolved amount: C1 x V1 = C2 x V2.",
        "limits": "Both strengths of one kind. Volumes are made up to a mark.",
        "caution": "Volumes of ethanol and water don’t add; make up to the mark.",
    },
    "serial_dilution": {
        "title": "Serial dilution",
        "words": "C1V1, dilute, stepwise, 1 in 10, homeopathic, potency steps",
        "about": "Steps from a strong stock to a strength that can’t be measured at once.",
        "source": "Each step divides the strength by its factor.",
        "limits": "Equal steps; with a factor given, the last one may be smaller.",
        "caution": "Each step adds a measuring error of its own.",
    },
    "concentrating": {
        "title": "Concentration by evaporation",
        "words": "evaporate, boil down, reduce, thicken, strength",
        "about": "How much is left, and how much solvent goes, until a strength is reached.",
        "source": "Conservation of the dissolved amount: C1 x V1 = C2 x V2.",
        "limits": "The active doesn’t evaporate, and stays dissolved.",
        "caution": "By volume, the solvent taken away isn’t exactly the difference; judge by mass.",
    },
    "step": {
        "stock": "{target_strength} x {target} / {stock_strength} = {stock}",
        "total": "{stock} x {stock_strength} / {target_strength} = {target}",
        "strength": "{stock} x {stock_strength} / {target} = {target_strength}",
        "stock_strength": "{target} x {target_strength} / {stock} = {stock_strength}",
        "diluent": "{total} − {stock} = {diluent}",
        "overall": "{stock_strength} / {target_strength} = {factor} in all",
        "each": "In {steps} equal steps: {factor} at each",
        "last": "{full} steps of {factor}, then one of {last}",
        "power": "{factor} to the power of {steps} = {overall} in all",
        "reached": "{stock_strength} / {overall} = {strength}",
        "transfer": "{volume} / {factor} = {transfer} carried over, made up to {volume}",
        "removed": "{stock} − {total} = {removed} of solvent goes",
    },
    "make_up": "Make up to {total}; the diluent is what that takes, about {diluent}.",
    "contraction": "Make up to {total}. How much diluent that takes can’t be told by subtraction.",
    "not_weaker": "The strength wanted must be below that of the stock.",
    "not_stronger": "The strength wanted must be above that of the stock.",
    "over_whole": "{strength} is more than the whole.",
    "more_stock": "The stock ({stock}) is more than the amount to make ({target}).",
    "three_of_four": "Give three of the four: both strengths, amount to make and stock.",
    "two_of_three": "Give two of strength wanted, dilution at each step and number of steps.",
    "no_whole_root": "{factor} has no exact root for {steps} steps. Choose another number, or give "
    "the dilution at each step instead.",
    "factor": "The dilution at each step must be above 1.",
    "too_many": "That would take more than {most} steps.",
}
STRENGTH = (Kind.STRENGTH, Kind.PERCENT)
AMOUNT = (Kind.VOLUME, Kind.MASS)
FOUR = ("stock_strength", "target_strength", "target", "stock")
say = speaker(AREA)


def dilute(given: Given) -> Outcome:
    """Return the one of stock, amount made and the two strengths that wasn't given."""
    wanted = left_out(given, FOUR, say("three_of_four"))
    if wanted in ("target", "stock"):
        (strong, weak), kind = alike(given, "stock_strength", "target_strength")
        if wanted == "stock":
            total = given.amount("target")
            stock = convenient(total * (weak / strong))
        else:
            stock = given.amount("stock")
            total = convenient(stock * (strong / weak))
    else:
        stock, total = given.amount("stock"), given.amount("target")
        if stock > total:
            raise Refusal(say("more_stock", stock=stock, target=total))
        known = "stock_strength" if wanted == "target_strength" else "target_strength"
        (number,), kind = alike(given, known)
        strong, weak = _strengths(wanted, number, stock / total)
    _require_weaker(strong, weak, kind)
    require_fit(kind, stock, total)
    unit = typed_unit(given, "target_strength", "stock_strength")
    return _answer(wanted, (stock, total), (strong, weak), _Written(kind, unit))


@dataclass(frozen=True, slots=True)
class _Written:
    """How strengths are written here: their kind, and the unit if they were typed in one."""

    kind: str
    unit: str = ""

    def value(self, per_hundred: Fraction) -> Concentration | Number:
        return as_value(per_hundred, self.kind, self.unit)

    def shown(self, per_hundred: Fraction) -> Concentration | Message:
        return shown(per_hundred, self.kind, self.unit)


def _strengths(wanted: str, known: Fraction, share: Fraction) -> tuple[Fraction, Fraction]:
    return (known, known * share) if wanted == "target_strength" else (known / share, known)


def _require_weaker(strong: Fraction, weak: Fraction, kind: str) -> None:
    if weak >= strong:
        raise Refusal(say("not_weaker"))
    if kind in ("w/w", "v/v", "") and strong > WHOLE:
        raise Refusal(say("over_whole", strength=shown(strong, kind)))


def _answer(
    wanted: str,
    amounts: tuple[Amount, Amount],
    strengths: tuple[Fraction, Fraction],
    written: _Written,
) -> Outcome:
    (stock, total), (strong, weak) = amounts, strengths
    results = {
        "stock": Result("stock", stock),
        "target": Result("total", total),
        "target_strength": Result("strength", written.value(weak)),
        "stock_strength": Result("stock_strength", written.value(strong)),
    }
    first = results.pop(wanted)
    main = say(
        f"step.{first.name}",
        stock=stock,
        target=total,
        stock_strength=written.shown(strong),
        target_strength=written.shown(weak),
    )
    found = (first, *results.values(), *_one_in(weak, written.kind))
    if written.kind == "v/v":
        return Outcome(found, (main,), (note(say("contraction", total=total)),))
    diluent = convenient(total - stock)
    subtraction = say("step.diluent", **in_one_unit(total=total, stock=stock, diluent=diluent))
    by_volume = units.dimension(total.unit) == units.VOLUME
    findings = (note(say("make_up", total=total, diluent=diluent)),) if by_volume else ()
    steps = (main, subtraction) if wanted in ("stock", "target") else (subtraction, main)
    return Outcome((*found, Result("diluent", diluent)), steps, findings)


def _one_in(per_hundred: Fraction, kind: str) -> tuple[Result, ...]:
    """Return a strength as one part in so many; units, moles and equivalents have no such."""
    total = 100 / per_hundred
    if kind not in (ANY, *units.KINDS):
        return ()
    ratio = OneIn(total, kind) if kind and total >= 1 else Number(total, "parts")
    return (Result("one_in", ratio),)


def concentrate(given: Given) -> Outcome:
    """Return what is left and what goes when solvent is taken away to a higher strength."""
    (weak, strong), kind = alike(given, "stock_strength", "target_strength")
    if strong <= weak:
        raise Refusal(say("not_stronger"))
    if kind in ("w/w", "v/v", "") and strong > WHOLE:
        raise Refusal(say("over_whole", strength=shown(strong, kind)))
    stock = given.amount("stock")
    require_fit(kind, stock)
    total = convenient(stock * (weak / strong))
    removed = convenient(stock - total)
    written = _Written(kind, typed_unit(given, "target_strength"))
    said = {"stock_strength": written.shown(weak), "target_strength": written.shown(strong)}
    return Outcome(
        (Result("total", total), Result("removed", removed)),
        (
            say("step.total", stock=stock, target=total, **said),
            say("step.removed", stock=stock, total=total, removed=removed),
        ),
    )


def dilute_in_steps(given: Given) -> Outcome:
    """Return factors and what is carried over at each step, and the strengths passed through."""
    wanted = left_out(given, ("target_strength", "factor", "steps"), say("two_of_three"))
    if wanted == "target_strength":
        return _reached(given)
    (strong, weak), kind = alike(given, "stock_strength", "target_strength")
    _require_weaker(strong, weak, kind)
    overall = strong / weak
    written = _Written(kind, typed_unit(given, "target_strength"))
    said = {"stock_strength": written.shown(strong), "target_strength": written.shown(weak)}
    first = say("step.overall", factor=overall, **said)
    if wanted == "factor":
        steps = given.count("steps")
        factors = [_root(overall, steps)] * steps
        second = say("step.each", steps=steps, factor=factors[0])
    else:
        factors = _factors(overall, given.number("factor"))
        full = len(factors) - 1
        second = say("step.last", full=full, factor=given.number("factor"), last=factors[-1])
    return _series(given, factors, strong, written, (first, second))


def _reached(given: Given) -> Outcome:
    (strong,), kind = alike(given, "stock_strength")
    factor, steps = given.number("factor"), given.count("steps")
    if factor <= 1:
        raise Refusal(say("factor"))
    overall = factor**steps
    written = _Written(kind, typed_unit(given, "stock_strength"))
    said = {"stock_strength": written.shown(strong), "strength": written.shown(strong / overall)}
    before = (
        say("step.power", factor=factor, steps=steps, overall=overall),
        say("step.reached", overall=overall, **said),
    )
    return _series(given, [factor] * steps, strong, written, before)


def _factors(overall: Fraction, factor: Fraction) -> list[Fraction]:
    """Return the given factor as often as it fits, and what is left over as the last."""
    if factor <= 1:
        raise Refusal(say("factor"))
    factors: list[Fraction] = []
    while overall > factor:
        factors.append(factor)
        overall /= factor
        if len(factors) >= MOST_STEPS:
            raise Refusal(say("too_many", most=MOST_STEPS))
    return [*factors, overall]


def _series(
    given: Given,
    factors: list[Fraction],
    strong: Fraction,
    written: _Written,
    before: tuple[Message, ...],
) -> Outcome:
    volume = given.amount("volume")
    require_fit(written.kind, volume)
    strengths = [strong]
    for factor in factors:
        strengths.append(strengths[-1] / factor)
    transfers = [convenient(volume * (1 / factor)) for factor in factors]
    pairs = dict(zip(factors, transfers, strict=True))
    steps = tuple(
        say("step.transfer", volume=volume, factor=factor, transfer=transfer)
        for factor, transfer in pairs.items()
    )
    results = [
        Result("transfer", transfers[0]),
        Result("factor", Number(factors[0])),
        Result("steps", Number(Fraction(len(factors)))),
        Result("strength", written.value(strengths[-1])),
    ]
    if factors[-1] != factors[0]:
        results.append(Result("last_factor", Number(factors[-1])))
        results.append(Result("last_transfer", transfers[-1]))
    after = numbered("strength", (written.value(each) for each in strengths[1:]))
    return Outcome((*results, *after), (*before, *steps))


def _root(number: Fraction, degree: int) -> Fraction:
    """Return the exact root of a number. Raises Refusal where there is none."""
    top, bottom = (_whole_root(each, degree) for each in number.as_integer_ratio())
    if top is None or bottom is None:
        raise Refusal(say("no_whole_root", factor=number, steps=degree))
    return Fraction(top, bottom)


def _whole_root(number: int, degree: int) -> int | None:
    low, high = 0, 1 << (number.bit_length() // degree + 1)
    while low < high:
        middle = (low + high) // 2
        if middle**degree < number:
            low = middle + 1
        else:
            high = middle
    return low if low**degree == number else None


_STOCK_STRENGTH = Input("stock_strength", STRENGTH)
_TARGET_STRENGTH = Input("target_strength", STRENGTH)

CALCULATIONS = (
    Calculation(
        "dilution",
        AREA,
        (
            Input("stock_strength", STRENGTH, optional=True),
            Input("target_strength", STRENGTH, optional=True),
            Input("target", AMOUNT, optional=True),
            Input("stock", AMOUNT, optional=True),
        ),
        dilute,
        (("stock_strength", "2 % w/v"), ("target_strength", "0.02 % w/v"), ("target", "120 mL")),
    ),
    Calculation(
        "serial-dilution",
        AREA,
        (
            _STOCK_STRENGTH,
            Input("target_strength", STRENGTH, optional=True),
            Input("steps", (Kind.COUNT,), optional=True, most=Fraction(MOST_STEPS)),
            Input("factor", (Kind.NUMBER,), optional=True, most=Fraction(1000)),
            Input("volume", AMOUNT),
        ),
        dilute_in_steps,
        (
            ("stock_strength", "1 % w/v"),
            ("target_strength", "0.01 % w/v"),
            ("steps", "2"),
            ("volume", "10 mL"),
        ),
    ),
    Calculation(
        "concentrating",
        AREA,
        (_STOCK_STRENGTH, _TARGET_STRENGTH, Input("stock", AMOUNT)),
        concentrate,
        (("stock_strength", "5 % w/w"), ("target_strength", "20 % w/w"), ("stock", "400 g")),
    ),
)
