"""The only place where a quantity becomes text: 0.5 never .5, 5 never 5.0, micrograms in full."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from fractions import Fraction
from typing import TypeAlias

from formulary.errors import BadText
from formulary.messages import message
from formulary.quantity import units
from formulary.quantity.amount import Amount, AsRead, Concentration, OneIn, Parts
from formulary.quantity.money import Money
from formulary.quantity.typed_number import require_sign

# How a language writes a unit, "part" and the "in" of a ratio, for so many of it.
# What isn't in it is written as its symbol, which is the same in every language.
UnitWord: TypeAlias = Callable[[Fraction | int], str]
Words: TypeAlias = Mapping[str, UnitWord]

NO_BREAK_SPACE = "\N{NO-BREAK SPACE}"
GROUP_SPACE = "\N{NARROW NO-BREAK SPACE}"
WORD_JOINER = "\N{WORD JOINER}"
SIGNIFICANT = 12

_GROUPED_FROM = 5
# The space after a figure, after a per cent and inside a unit of two words never breaks.
_BOUND = re.compile(
    r"(?<=[0-9]) (?=\S)|(?<=%) (?=[wvm]/[wvmV])|(?<=\binternational) (?=units?\b)"
    r"|(?<=\b[Ii]nternationale) (?=Einheit)"
)
# A screen also breaks after the stroke of a unit, and in some fonts at the space in a figure.
_PARTED = re.compile(r"(?<=\w)/(?=\w)|(?<=[0-9])\N{NARROW NO-BREAK SPACE}(?=[0-9])")
_EXACT = re.compile(r"-?[0-9]+(?:\.[0-9]+|/0*[1-9][0-9]*)?")
# Falling units with the smallest number each is written with; the last takes the rest.
_CONVENIENT = {
    units.MASS: (("g", Fraction(1, 10)), ("mg", Fraction(1)), ("microgram", Fraction(1))),
    units.VOLUME: (("mL", Fraction(1, 10)),),
}
_LONG = 10_000
_SMALLEST = {units.MASS: "nanogram", units.VOLUME: "microlitre"}


def write_number(number: Fraction, decimal_sign: str, places: int | None = None) -> str:
    """Return a number for a reader, thousands parted by narrow spaces from five digits on.

    A finite decimal is written in full and any other to 12 significant digits, unless ``places``
    limits the decimals (half to even). Zeros that say nothing are never written.
    """
    require_sign(decimal_sign)
    shown = number if places is None else round(number, places)
    whole, point, decimals = plain_number(abs(shown)).partition(".")
    if len(whole) >= _GROUPED_FROM:
        whole = f"{int(whole):,}".replace(",", GROUP_SPACE)
    minus = "\N{MINUS SIGN}" if shown < 0 else ""
    return minus + whole + (decimal_sign if point else "") + decimals


def held_together(text: str) -> str:
    """Return a text whose figures never part from what follows them at the end of a line."""
    return _BOUND.sub(NO_BREAK_SPACE, text)


def unbroken(text: str) -> str:
    """Return a text for the screen whose figures and units are never parted: mg/mL, 17 100 g."""
    joined = rf"{WORD_JOINER}\g<0>{WORD_JOINER}"
    return _PARTED.sub(joined, held_together(text))


def write_reading(number: Fraction, decimal_sign: str, places: int) -> str:
    """Return a balance's reading with all its decimals (10.00), as the balance shows it.

    Raises ValueError if the number has more decimals than that: rounding is not done here.
    """
    scaled = number * 10**places
    if scaled.denominator != 1:
        raise ValueError(f"{number} has more than {places} decimals")
    require_sign(decimal_sign)
    return _point_in(scaled.numerator, places).replace(".", decimal_sign)


def write_amount(amount: Amount, decimal_sign: str, words: Words) -> str:
    """Return ``0.5 g``, ``20 micrograms`` or ``1 drop``, held together by a no-break space."""
    return _joined(amount.number, _word(words, amount.unit, amount.number), decimal_sign)


def write_as_read(read: AsRead, decimal_sign: str, words: Words) -> str:
    """Return ``1.0000 g`` as the balance showed it, which tells how finely it was weighed.

    Raises ValueError if the amount has more decimals than were read.
    """
    figure = write_reading(read.number, decimal_sign, read.places)
    return f"{figure}{NO_BREAK_SPACE}{_word(words, read.unit, read.number)}"


def write_concentration(strength: Concentration, decimal_sign: str, words: Words) -> str:
    """Return ``5 % w/w`` or ``10 micrograms/mL``, the unit's words in the reader's language."""
    if strength.unit in units.PERCENTS:
        kind = _word(words, strength.unit.removeprefix("% "))
        return _joined(strength.number, f"%{NO_BREAK_SPACE}{kind}", decimal_sign)
    part, whole = units.split_concentration(strength.unit)
    unit = f"{_word(words, part, strength.number)}/{_word(words, whole)}"
    return _joined(strength.number, unit, decimal_sign)


def write_one_in(ratio: OneIn, decimal_sign: str, words: Words) -> str:
    """Return ``1 in 1000 w/v``."""
    total = write_number(ratio.total, decimal_sign)
    return NO_BREAK_SPACE.join(("1", _word(words, "in"), total, _word(words, ratio.kind)))


def write_parts(parts: Parts, decimal_sign: str, words: Words) -> str:
    """Return ``3 parts`` or ``1 part``."""
    return _joined(parts.number, _word(words, "part", parts.number), decimal_sign)


def write_money(money: Money, decimal_sign: str) -> str:
    """Return ``53.30 EUR`` or ``120 JPY``: all minor units, and more only where it has them."""
    figure = write_number(money.number, decimal_sign)
    return f"{_to_minor_units(figure, decimal_sign, money)}{NO_BREAK_SPACE}{money.unit}"


def plain_money(money: Money) -> str:
    """Return a sum for wires and JSON, its minor units written out: 53.30."""
    return _to_minor_units(plain_number(money.number), ".", money)


def _to_minor_units(figure: str, decimal_sign: str, money: Money) -> str:
    whole, _, decimals = figure.partition(decimal_sign)
    decimals = decimals.ljust(money.minor_units, "0")
    return whole + (decimal_sign + decimals if decimals else "")


def plain_number(number: Fraction) -> str:
    """Return a number for wires and JSON: a point, no grouping, else as :func:`write_number`."""
    places = _decimals(number)
    if places is None:
        return plain_number(_to_significant(number))
    return _point_in(int(number * 10**places), places)


def exact_text(number: Fraction) -> str:
    """Return a number for storage, losing nothing: a finite decimal, or a fraction (100/3)."""
    return plain_number(number) if is_finite(number) else str(number)


def exact_amount(amount: Amount, decimal_sign: str = ".") -> str:
    """Return an amount for files and editors, losing nothing: "0.5 g", "100/3 mL"."""
    return f"{exact_text(amount.number).replace('.', decimal_sign)} {amount.unit}"


def exact_strength(strength: Concentration | OneIn) -> str:
    """Return a strength for files and editors, losing nothing: "5 % w/w", "1 in 1000 w/v"."""
    if isinstance(strength, OneIn):
        return f"1 in {exact_text(strength.total)} {strength.kind}"
    return f"{exact_text(strength.number)} {strength.unit}"


def from_exact_text(text: str) -> Fraction:
    """Return the number that :func:`exact_text` stored. Raises BadText for any other text."""
    if not _EXACT.fullmatch(text):
        raise BadText(message("quantity.not_exact", typed=text[:SIGNIFICANT]))
    return Fraction(text)


def is_finite(number: Fraction) -> bool:
    """Tell whether decimals can write the number in full (1/8 yes, 1/3 no)."""
    return _decimals(number) is not None


def convenient(amount: Amount, *, large: bool = False) -> Amount:
    """Return the same amount in the unit that reads best, between 1 and 1000 where possible.

    From 0.1 g on, gram is kept (0.5 g stays as it is weighed), and so is mL from 0.1 mL on; below
    follow mg, microgram and nanogram, and microlitre. From 1000 on, kg and L are used only if
    ``large``. Drops, pieces, units of activity and zero stay as they are.
    """
    kind = units.dimension(amount.unit)
    if kind not in _CONVENIENT or not amount.number:
        return amount
    if large and kind is units.MASS and abs(amount.to("kg").number) >= 1:
        return amount.to("kg")
    if large and kind is units.VOLUME and abs(amount.to("L").number) >= 1:
        return amount.to("L")
    for unit, least in _CONVENIENT[kind]:
        if abs(amount.to(unit).number) >= least:
            return amount.to(unit)
    return amount.to(_SMALLEST[kind])


def in_one_unit(**amounts: Amount) -> dict[str, Amount]:
    """Return the amounts of one line of a sum in the finest of their units, if none grows long.

    They are of one dimension. 1 L, 5 mL and 995 mL become 1000 mL, 5 mL and 995 mL.
    """
    some = next(iter(amounts.values())).unit
    finest = min((each.unit for each in amounts.values()), key=lambda u: units.factor(u, some))
    alike = {name: each.to(finest) for name, each in amounts.items()}
    return amounts if any(abs(each.number) > _LONG for each in alike.values()) else alike


def convenient_strength(strength: Concentration) -> Concentration:
    """Return the same strength with its part in the unit that reads best (10 micrograms/mL)."""
    if strength.unit in units.PERCENTS:
        return strength
    part, whole = units.split_concentration(strength.unit)
    amount = convenient(Amount(strength.number, part))
    return Concentration(amount.number, f"{amount.unit}/{whole}")


def _word(words: Words, symbol: str, number: Fraction | int = 1) -> str:
    return words[symbol](number) if symbol in words else symbol


def _joined(number: Fraction, unit: str, decimal_sign: str) -> str:
    return f"{write_number(number, decimal_sign)}{NO_BREAK_SPACE}{unit}"


def _decimals(number: Fraction) -> int | None:
    """Return how many decimals write the number in full, or None if none do."""
    rest, counts = number.denominator, {2: 0, 5: 0}
    for prime in counts:
        while rest % prime == 0:
            rest //= prime
            counts[prime] += 1
    return max(counts.values()) if rest == 1 else None


def _to_significant(number: Fraction) -> Fraction:
    exponent = len(str(abs(number.numerator))) - len(str(number.denominator))
    if abs(number) < Fraction(10) ** exponent:
        exponent -= 1
    return Fraction(round(number, SIGNIFICANT - 1 - exponent))


def _point_in(scaled: int, places: int) -> str:
    """Return the digits of an integer with a point before the last ``places`` of them."""
    digits = str(abs(scaled)).rjust(places + 1, "0")
    cut = len(digits) - places
    minus = "-" if scaled < 0 else ""
    return minus + digits[:cut] + ("." + digits[cut:] if places else "")
