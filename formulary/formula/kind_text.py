"""A line's quantity as people write it, read into its one meaning, and said again."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import assert_never

from formulary.errors import BadText
from formulary.formula.kinds import (
    Fixed,
    InParts,
    Kind,
    PerUnit,
    Share,
    ToEndPoint,
    ToFill,
    ToTotal,
)
from formulary.messages import Message, message
from formulary.quantity import parsing, units
from formulary.quantity.amount import Amount, Concentration, OneIn, Parts
from formulary.quantity.units import Dimension

_SHARED_TOTAL = re.compile(
    r"(?:aa|ana|equal parts|each)[ .]+(?:q\.? ?s\.? )?(?:ad|to|up to) (?P<total>.+)", re.IGNORECASE
)
_EACH = re.compile(r"(?:aa|ana|each)[ .]+(?P<amount>.+)", re.IGNORECASE)
_END_POINT = re.compile(r"(?:q\.? ?s\.? )?(?:until|usque ad) (?P<point>.+)", re.IGNORECASE)
_TO_FILL = re.compile(
    r"(?:q\.? ?s\.? )?(?:ad|to|up to) fill(?: (?:the )?(?:mould|capsule)s?)?", re.IGNORECASE
)
_TOTAL = re.compile(r"(?:q\.? ?s\.? )?(?:ad|to|up to) (?P<total>.+)", re.IGNORECASE)
_PER_UNIT = re.compile(r"(?P<amount>.+?) (?:per|in each) (?:dose )?unit", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class KindReading:
    """A quantity as read; with a ``question`` it is a proposal that must be confirmed first."""

    kind: Kind
    question: Message | None = None


def read_kind(text: str, decimal_sign: str = ".", default_kind: str | None = None) -> KindReading:
    """Read a line's quantity, taking a bare number ("2,0", "ad 100") as a question for grams.

    Raises :class:`formulary.errors.BadText` for what has no meaning or more than one.
    """
    plain = " ".join(text.split())
    if found := _SHARED_TOTAL.fullmatch(plain):
        return _with_total(found["total"], decimal_sign, shared=True)
    if found := _EACH.fullmatch(plain):
        return _with_amount(found["amount"], decimal_sign, each=True)
    if (unmeasured := _unmeasured(plain)) is not None:
        return KindReading(unmeasured)
    if found := _TOTAL.fullmatch(plain):
        return _with_total(found["total"], decimal_sign, shared=False)
    if found := _PER_UNIT.fullmatch(plain):
        amount = parsing.parse_amount(found["amount"], decimal_sign)
        _refuse_unusable(amount, plain)
        return KindReading(PerUnit(amount))
    return _plain(plain, decimal_sign, default_kind)


def _unmeasured(plain: str) -> ToEndPoint | ToFill | None:
    """Return a quantity that names no amount, if it is one."""
    if found := _END_POINT.fullmatch(plain):
        return ToEndPoint(found["point"])
    return ToFill() if _TO_FILL.fullmatch(plain) else None


def parse_kind(text: str, decimal_sign: str = ".", default_kind: str | None = None) -> Kind:
    """Read a line's quantity where nobody can be asked: a bare number is refused.

    Raises :class:`formulary.errors.BadText`.
    """
    reading = read_kind(text, decimal_sign, default_kind)
    if reading.question is not None:
        raise BadText(message("formula.unit_needed", typed=text.strip(), asked=reading.question))
    return reading.kind


def _with_total(text: str, decimal_sign: str, *, shared: bool) -> KindReading:
    total = parsing.read_amount(text, decimal_sign)
    _refuse_unusable(total.amount, text)
    return KindReading(ToTotal(total.amount, shared), total.question)


def _with_amount(text: str, decimal_sign: str, *, each: bool) -> KindReading:
    amount = parsing.read_amount(text, decimal_sign)
    _refuse_unusable(amount.amount, text)
    return KindReading(Fixed(amount.amount, each), amount.question)


def _plain(text: str, decimal_sign: str, default_kind: str | None) -> KindReading:
    if _is_bare_number(text):
        return _with_amount(text, decimal_sign, each=False)
    quantity = parsing.parse_quantity(text, decimal_sign, default_kind)
    if isinstance(quantity, OneIn):
        return KindReading(Share(quantity))
    _refuse_unusable(quantity, text)
    if isinstance(quantity, Amount):
        return KindReading(Fixed(quantity))
    return KindReading(InParts(quantity) if isinstance(quantity, Parts) else Share(quantity))


def _is_bare_number(text: str) -> bool:
    return bool(text) and not any(each.isalpha() or each in "%:" for each in text)


def _refuse_unusable(quantity: Amount | Concentration | Parts, text: str) -> None:
    if not quantity.number:
        raise BadText(message("formula.zero_quantity", typed=text))
    if not _units_in(quantity) <= units.IN_FORMULAS:
        raise BadText(message("formula.not_measurable", typed=text))


def _units_in(quantity: Amount | Concentration | Parts) -> set[Dimension]:
    if isinstance(quantity, Amount):
        return {units.dimension(quantity.unit)}
    if isinstance(quantity, Parts) or quantity.unit in units.PERCENTS:
        return set()
    return set(map(units.dimension, units.split_concentration(quantity.unit)))


def said(kind: Kind) -> Message:
    """Return a quantity as a message; in English it reads back to the same quantity."""
    match kind:
        case Fixed(amount, each):
            words = message("formula.kind.each" if each else "formula.kind.fixed", amount=amount)
        case Share(strength):
            words = message("formula.kind.share", strength=strength)
        case InParts(parts):
            words = message("formula.kind.parts", parts=parts)
        case PerUnit(amount):
            words = message("formula.kind.per_unit", amount=amount)
        case ToTotal(total, shared):
            words = message(
                "formula.kind.shared_total" if shared else "formula.kind.total", total=total
            )
        case ToEndPoint(end_point):
            words = message("formula.kind.end_point", end_point=end_point)
        case ToFill():
            words = message("formula.kind.to_fill")
        case _:
            assert_never(kind)
    return words
