"""What is to be made: containers of a size, a mass, a volume or a number of dose units."""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction

from formulary.errors import BadText, Refusal
from formulary.messages import Message, message
from formulary.quantity import parsing
from formulary.quantity.amount import Amount

_COUNT = re.compile(r"-?[0-9]{1,9}")


@dataclass(frozen=True, slots=True)
class Target:
    """``count`` containers of ``each``; dose units are ``each`` = so many pieces, count 1.

    Raises :class:`formulary.errors.Refusal` where there is nothing to make.
    """

    count: int
    each: Amount

    def __post_init__(self) -> None:
        if self.count < 1 or self.each.number <= 0:
            raise Refusal(message("scaling.nothing_to_make"))
        if self.each.unit == "piece" and self.each.number.denominator != 1:
            raise Refusal(message("scaling.part_of_a_unit", each=self.each))

    @property
    def ordered(self) -> Amount:
        """What the person asked for, before any excess."""
        return self.each * self.count

    def said(self) -> Message:
        """Return the target as a message: "3 x 60 g" or "180 g"."""
        if self.count == 1:
            return message("scaling.target.whole", each=self.each)
        return message("scaling.target.containers", count=self.count, each=self.each)


@dataclass(frozen=True, slots=True)
class Excess:
    """What is made beyond the order to cover losses; it never changes the declared strength."""

    percent: Fraction = Fraction(0)
    fixed: Amount | None = None

    def __post_init__(self) -> None:
        if self.percent < 0 or (self.fixed is not None and self.fixed.number < 0):
            raise Refusal(message("scaling.excess_is_negative"))

    def added_to(self, ordered: Amount) -> Amount:
        """Return the order with its excess."""
        grown = ordered * (1 + self.percent / 100)
        return grown if self.fixed is None else grown + self.fixed

    def said(self) -> Message:
        """Return the excess as a message."""
        if self.fixed is None:
            return message("scaling.excess.percent", percent=self.percent)
        if not self.percent:
            return message("scaling.excess.fixed", fixed=self.fixed)
        return message("scaling.excess.both", percent=self.percent, fixed=self.fixed)


def parse_target(text: str, decimal_sign: str = ".") -> Target:
    """Read "3 x 60 g", "180 g", "250 mL" or, for dose units, "12" or "12 pieces".

    Raises :class:`formulary.errors.BadText` with a sentence for anything else.
    """
    if _COUNT.fullmatch(text.strip()):
        return Target(1, Amount(Fraction(int(text)), "piece"))
    multiple = parsing.parse_multiple(text, decimal_sign)
    return Target(multiple.count, multiple.each)


def parse_excess(text: str, decimal_sign: str = ".") -> Excess:
    """Read "3 %", "10 g" or "3 % + 10 g". An empty text is no excess.

    Raises :class:`formulary.errors.BadText` for anything else.
    """
    excess = Excess()
    for part in filter(None, (piece.strip() for piece in text.split("+"))):
        excess = _with(excess, part, decimal_sign)
    return excess


def _with(excess: Excess, part: str, decimal_sign: str) -> Excess:
    if part.endswith("%"):
        if excess.percent:
            raise BadText(message("scaling.excess_twice", text=part), field="excess")
        return Excess(parsing.parse_number(part[:-1], decimal_sign), excess.fixed)
    if excess.fixed is not None:
        raise BadText(message("scaling.excess_twice", text=part), field="excess")
    return Excess(excess.percent, parsing.parse_amount(part, decimal_sign))
