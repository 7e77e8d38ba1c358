"""What the formula as written makes, and which lines close it."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from formulary.errors import Refusal
from formulary.formula.content import Content, Line
from formulary.formula.kinds import Fixed, InParts, PerUnit, Share, ToEndPoint, ToTotal
from formulary.messages import Parameter, message
from formulary.quantity import units
from formulary.quantity.amount import Amount, OneIn
from formulary.quantity.units import Dimension
from formulary.scaling.masses import mass_of_line

WHOLE_PERCENT = 100
CLOSES_WITHIN_PERCENT = Fraction(1, 20)
"""How far a total may be from the sum of its lines (0.05 %, common practice, no source)."""


@dataclass(frozen=True, slots=True)
class Whole:
    """The formula as written: its total and the positions of the lines that close it.

    ``amount`` is None where every line is a share or in parts, so that any total will do.
    """

    amount: Amount | None
    closing: tuple[int, ...]


def refuse(key: str, **parameters: Parameter) -> Refusal:
    """Return the refusal that says ``scaling.<key>``."""
    return Refusal(message(f"scaling.{key}", **parameters))


def whole_as_written(content: Content) -> Whole:
    """Return the formula's reference whole.

    Raises :class:`formulary.errors.Refusal` where there is none, or two that disagree.
    """
    if not content.lines:
        raise refuse("no_lines")
    closing = tuple(i for i, line in enumerate(content.lines) if isinstance(line.quantity, ToTotal))
    totals = _declared_totals(content)
    _refuse_two_totals(content, closing, totals)
    _refuse_mixed_parts(content)
    if totals:
        return Whole(totals[0], closing)
    return Whole(_total_without_declaration(content), closing)


def _declared_totals(content: Content) -> list[Amount]:
    totals = [line.quantity.total for line in content.lines if isinstance(line.quantity, ToTotal)]
    if content.total is not None:
        totals.append(content.total)
    return totals


def _refuse_two_totals(content: Content, closing: tuple[int, ...], totals: list[Amount]) -> None:
    for total in totals[1:]:
        if not _same(total, totals[0]):
            raise refuse("two_totals", one=totals[0], other=total)
    unshared = [
        line
        for line in content.lines
        if isinstance(line.quantity, ToTotal) and not line.quantity.shared
    ]
    if unshared and len(closing) > 1:
        raise refuse("two_closing_lines", total=totals[0])


def _same(one: Amount, other: Amount) -> bool:
    return units.dimension(one.unit) == units.dimension(other.unit) and one.to(other.unit) == other


def _refuse_mixed_parts(content: Content) -> None:
    in_parts = [isinstance(line.quantity, InParts) for line in content.lines]
    others = [line for line in content.lines if not isinstance(line.quantity, InParts | ToEndPoint)]
    if any(in_parts) and others:
        raise refuse("parts_beside_amounts", ingredient=others[0].ingredient)


def _total_without_declaration(content: Content) -> Amount | None:
    lines = [line for line in content.lines if not isinstance(line.quantity, ToEndPoint)]
    if lines and all(isinstance(line.quantity, InParts) for line in lines):
        return None
    if content.units is not None and any(isinstance(line.quantity, PerUnit) for line in lines):
        return Amount(Fraction(content.units), "piece")
    if lines and all(isinstance(line.quantity, Share) for line in lines):
        _refuse_open_shares(lines)
        return None
    if lines and all(isinstance(line.quantity, Fixed) for line in lines):
        return _sum_of_amounts(content)
    raise refuse("no_total")


def _refuse_open_shares(lines: list[Line]) -> None:
    percent = Fraction(0)
    for line in lines:
        if not isinstance(line.quantity, Share):
            raise TypeError("only shares are summed here")
        percent += percent_by_mass(line.quantity)
    if percent > WHOLE_PERCENT:
        raise refuse("shares_over_whole", percent=percent)
    if abs(percent - WHOLE_PERCENT) > CLOSES_WITHIN_PERCENT:
        raise refuse("no_total")


def percent_by_mass(share: Share) -> Fraction:
    """Return a share as per cent w/w.

    Raises :class:`formulary.errors.Refusal` where its kind isn't mass in mass.
    """
    written = share.strength
    strength = written.as_percent() if isinstance(written, OneIn) else written
    if strength.unit == "% w/w":
        return strength.number
    if strength.unit.startswith("%"):
        raise refuse("no_total")
    part, whole = units.split_concentration(strength.unit)
    if {units.dimension(part), units.dimension(whole)} != {Dimension.MASS}:
        raise refuse("no_total")
    return strength.number * units.factor(part, "g") / units.factor(whole, "g") * WHOLE_PERCENT


def _sum_of_amounts(content: Content) -> Amount:
    """Return the sum of fixed amounts: by volume if all are volumes, by mass otherwise."""
    amounts = [line.quantity.amount for line in content.lines if isinstance(line.quantity, Fixed)]
    if all(units.dimension(amount.unit) == Dimension.PIECES for amount in amounts):
        raise refuse("no_total")
    if all(units.dimension(amount.unit) == Dimension.VOLUME for amount in amounts):
        raise refuse("volumes_do_not_add")
    total = Amount(Fraction(0), "g")
    for line in content.lines:
        if isinstance(line.quantity, Fixed):
            total += mass_of_line(line, line.quantity.amount).result
    return total
