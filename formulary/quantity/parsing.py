"""What a person typed, read into an exact quantity or refused with a sentence.

Every function raises :class:`formulary.errors.BadText` and nothing else, whatever the text.
``decimal_sign`` is the sign that the house writes; see :mod:`formulary.quantity.typed_number` for
when the other one is read. A full stop after a unit ("5 mg.") is read and left out in writing.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from fractions import Fraction
from typing import TypeAlias

from formulary.errors import BadText
from formulary.messages import Message, message
from formulary.quantity import units
from formulary.quantity.amount import Amount, Concentration, OneIn, Parts
from formulary.quantity.typed_number import parse_number, plain_spaces, tidy
from formulary.quantity.writing import Words, is_finite, write_amount

__all__ = [
    "Multiple",
    "Reading",
    "parse_amount",
    "parse_concentration",
    "parse_multiple",
    "parse_number",
    "parse_quantity",
    "read_amount",
]

Strength: TypeAlias = Concentration | OneIn

# A number without a unit, as prescriptions have it, can only be a proposal: this unit's.
PRESCRIBED_UNIT = "g"

_NUMBER = r"[-+\N{MINUS SIGN}\N{EN DASH}\d.,/ ]*"
_LEADING_NUMBER = re.compile(rf"\A{_NUMBER}")
_EXPONENT = re.compile(r"[eE][-+]?[0-9]")
_PARTS = re.compile(r"(?P<number>.*?) ?(?:parts?|teile?)", re.IGNORECASE)
_RATIO = re.compile(
    rf"(?P<one>{_NUMBER}\d ?)(?::|in |zu )(?P<total>{_NUMBER}\d)(?P<kind>.*)", re.IGNORECASE
)
_PERCENT = re.compile(r"(?P<number>.+?)(?:%|per ?cent|prozent)(?P<kind>.*)", re.IGNORECASE)
_PER_MILLION = re.compile(
    r"(?P<number>.+?)(?P<scale>ppm|ppb|parts per [mb]illion)(?P<kind>.*)", re.IGNORECASE
)
_PER = re.compile(
    r"(?P<part>.*?[^\W\d_]\.?)(?: ?/ ?| (?:per|pro|je|in) )(?P<whole>.+)", re.IGNORECASE
)
_MULTIPLE = re.compile(r"(?P<count>.*?) ?[x\N{MULTIPLICATION SIGN}*] ?(?P<each>.+)", re.IGNORECASE)
_COUNT = re.compile(r"[1-9][0-9]{0,5}")
_MILLIONTHS = {"w/w": "microgram/g", "w/v": "microgram/mL", "v/v": "microlitre/L"}
_KINDS = {kind: kind for kind in units.KINDS} | {"m/m": "w/w", "m/v": "w/v"}


@dataclass(frozen=True, slots=True)
class Multiple:
    """A number of equal containers or portions, such as 3 x 60 g."""

    count: int
    each: Amount


@dataclass(frozen=True, slots=True)
class Reading:
    """An amount as read; ``rewritten`` is how it is safely written, if it was typed otherwise.

    With a ``question`` the amount is only a proposal, to be confirmed before anything uses it.
    """

    amount: Amount
    rewritten: str | None = None
    question: Message | None = None


def parse_amount(text: str, decimal_sign: str = ".") -> Amount:
    """Read ``0.5 g``, ``500mg``, ``1/2 g`` or ``1 000 g``; a number needs its unit."""
    typed = tidy(text)
    number, unit = _number_and_unit(typed, decimal_sign)
    if unit:
        return Amount(number, unit)
    proposed = Amount(number, PRESCRIBED_UNIT)
    raise BadText(message("quantity.unit_missing", typed=typed, amount=proposed))


def read_amount(text: str, decimal_sign: str = ".", words: Words | None = None) -> Reading:
    """Read an amount as :func:`parse_amount` does, but take a bare number as a question."""
    typed = tidy(text)
    number, unit = _number_and_unit(typed, decimal_sign)
    amount = Amount(number, unit or PRESCRIBED_UNIT)
    question = None if unit else message("quantity.unit_question", typed=typed, amount=amount)
    return Reading(amount, _rewritten(typed, amount, decimal_sign, words or {}), question)


def parse_concentration(
    text: str, decimal_sign: str = ".", default_kind: str | None = None
) -> Concentration | OneIn:
    """Read ``5 % w/w``, ``1:1000 w/v``, ``2 mg/g`` or ``250 mg/5 mL``.

    ``default_kind`` is what a per cent or ratio means that doesn't say; without it, such a one is
    refused.
    """
    typed = tidy(text)
    strength = _strength(typed, decimal_sign, default_kind)
    if strength is None:
        raise BadText(message("quantity.strength_expected", typed=typed))
    return strength


def parse_quantity(
    text: str, decimal_sign: str = ".", default_kind: str | None = None
) -> Amount | Concentration | OneIn | Parts:
    """Read a quantity of any kind: an amount, a strength, or parts (``3 parts``)."""
    typed = tidy(text)
    if parts := _PARTS.fullmatch(typed):
        return Parts(parse_number(parts["number"], decimal_sign))
    strength = _strength(typed, decimal_sign, default_kind)
    return parse_amount(typed, decimal_sign) if strength is None else strength


def parse_multiple(text: str, decimal_sign: str = ".") -> Multiple:
    """Read ``3 x 60 g``; a single ``60 g`` is one of them."""
    typed = tidy(text)
    found = _MULTIPLE.fullmatch(typed)
    if found is None:
        return Multiple(1, parse_amount(typed, decimal_sign))
    if not _COUNT.fullmatch(found["count"]):
        raise BadText(message("quantity.count", typed=typed))
    return Multiple(int(found["count"]), parse_amount(found["each"], decimal_sign))


def _number_and_unit(typed: str, decimal_sign: str) -> tuple[Fraction, str | None]:
    """Return the number and the unit's symbol, or no unit if none was typed."""
    if any(pattern.fullmatch(typed) for pattern, _ in _STRENGTHS):
        raise BadText(message("quantity.amount_expected", typed=typed))
    number, unit = _split(typed)
    if unit and not number:
        raise BadText(message("quantity.number.missing", typed=typed))
    if _EXPONENT.match(unit):
        raise BadText(message("quantity.number.exponent", typed=typed))
    return parse_number(number, decimal_sign), _symbol(unit) if unit else None


def _split(typed: str) -> tuple[str, str]:
    unit = _LEADING_NUMBER.sub("", typed)
    return typed.removesuffix(unit).strip(), unit


def _symbol(typed: str) -> str:
    symbol = units.canonical(typed)
    if symbol is None:
        raise BadText(message(units.refusal(typed) or "quantity.unit.unknown", typed=typed))
    return symbol


def _rewritten(typed: str, amount: Amount, decimal_sign: str, words: Words) -> str | None:
    """Return the safe writing if it differs from the typed one and says exactly the same."""
    written = write_amount(amount, decimal_sign, words)
    return written if is_finite(amount.number) and plain_spaces(written) != typed else None


def _strength(typed: str, decimal_sign: str, default_kind: str | None) -> Strength | None:
    if default_kind is not None and default_kind not in units.KINDS:
        raise ValueError(f"a kind is one of {units.KINDS}, not {default_kind!r}")
    for pattern, read in _STRENGTHS:
        if found := pattern.fullmatch(typed):
            return read(found, decimal_sign, default_kind)
    return None


def _percent(found: re.Match[str], decimal_sign: str, default_kind: str | None) -> Strength:
    number = parse_number(found["number"], decimal_sign)
    return Concentration(number, f"% {_kind(found, default_kind)}")


def _one_in(found: re.Match[str], decimal_sign: str, default_kind: str | None) -> Strength:
    total = parse_number(found["total"], decimal_sign)
    if parse_number(found["one"], decimal_sign) != 1 or total < 1:
        raise BadText(message("quantity.ratio", typed=found[0]))
    return OneIn(total, _kind(found, default_kind))


def _per_million(found: re.Match[str], decimal_sign: str, default_kind: str | None) -> Strength:
    """Read 40 ppm w/v as 40 micrograms in one mL, and ppb as a thousandth of it."""
    number = parse_number(found["number"], decimal_sign)
    in_billion = found["scale"].casefold() in ("ppb", "parts per billion")
    unit = _MILLIONTHS[_kind(found, default_kind)]
    return Concentration(number / 1000 if in_billion else number, unit)


def _unit_in_unit(found: re.Match[str], decimal_sign: str, _: str | None) -> Strength:
    part = parse_amount(found["part"], decimal_sign)
    number, unit = _split(found["whole"])
    whole = Amount(parse_number(number or "1", decimal_sign), _symbol(unit or found["whole"]))
    if not whole.number:
        raise BadText(message("quantity.in_nothing", typed=found[0]))
    return Concentration(part.number / whole.number, f"{part.unit}/{whole.unit}")


def _kind(found: re.Match[str], default_kind: str | None) -> str:
    typed = found["kind"].strip().removeprefix("(").removesuffix(")").casefold()
    if not typed and default_kind:
        return default_kind
    if typed not in _KINDS:
        reason = "unknown" if typed else "missing"
        raise BadText(message(f"quantity.kind.{reason}", typed=found[0]))
    return _KINDS[typed]


_Reader: TypeAlias = Callable[[re.Match[str], str, str | None], Strength]
_STRENGTHS: tuple[tuple[re.Pattern[str], _Reader], ...] = (
    (_RATIO, _one_in),
    (_PER_MILLION, _per_million),
    (_PERCENT, _percent),
    (_PER, _unit_in_unit),
)
