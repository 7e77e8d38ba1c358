"""What the formula as written makes, and which lines close it."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from formulary.errors import Refusal
from formulary.formula.content import Content, Line
from formulary.formula.kinds import Fixed, InParts, PerUnit, Share, ToEndPoint, ToFill, ToTotal
from formulary.messages import Parameter, message
from formulary.quantity import units
from formulary.quantity.amount import Amount, Concentration, OneIn
from formulary.quantity.units import Dimension
from formulary.scaling.masses import mass_of_line

WHOLE_PERCENT = 100
CLOSES_WITHIN_PERCENT = Fraction(1, 20)
"""How far a total may be from the sum of its lines (0.05 %, common practice, no source)."""


SIZES = (Dimension.MASS, Dimension.VOLUME, Dimension.PIECES)
"""What a total can be: a mass, a volume or a number of dose units."""


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
    _refuse_no_size(totals)
    _refuse_two_totals(content, closing, totals)
    _refuse_misfilled(content, totals)
    _refuse_mixed_parts(content)
    _refuse_shares_over_whole(content)
    if totals:
        return Whole(totals[0], closing)
    return Whole(_total_without_declaration(content), closing)


def _declared_totals(content: Content) -> list[Amount]:
    totals = [line.quantity.total for line in content.lines if isinstance(line.quantity, ToTotal)]
    if content.total is not None:
        totals.append(content.total)
    return totals


def _refuse_no_size(totals: list[Amount]) -> None:
    for total in totals:
        if not total.number or units.dimension(total.unit) not in SIZES:
            raise refuse("total_is_no_size", total=total)


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


def _refuse_misfilled(content: Content, totals: list[Amount]) -> None:
    """Refuse a line that fills where there is nothing to fill, or something fills it already."""
    if content.mould is not None and content.capsule is not None:
        raise refuse("mould_and_capsule")
    filling = [line for line in content.lines if isinstance(line.quantity, ToFill)]
    if not filling:
        return
    ingredient = filling[0].ingredient
    if len(filling) > 1:
        raise refuse("two_filling_lines", one=ingredient, other=filling[1].ingredient)
    if content.mould is None and content.capsule is None:
        raise refuse("nothing_to_fill", ingredient=ingredient)
    if totals:
        raise refuse("fill_beside_total", ingredient=ingredient, total=totals[0])
    if content.units is None:
        raise refuse("units_missing", ingredient=ingredient)


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
    if content.units is not None and any(
        isinstance(line.quantity, PerUnit | ToFill) for line in lines
    ):
        return Amount(Fraction(content.units), "piece")
    if lines and all(isinstance(line.quantity, Share) for line in lines):
        _refuse_open_shares(lines)
        return None
    if lines and all(isinstance(line.quantity, Fixed) for line in lines):
        return _sum_of_amounts(content)
    raise refuse("no_total")


def _refuse_shares_over_whole(content: Content) -> None:
    """Refuse shares by mass that are more than the whole, alone or together.

    Shares by volume are judged alone, since volumes don't add; w/v has no such limit.
    """
    together = Fraction(0)
    for line in content.lines:
        percent = _percent_of_kind(line)
        if percent > WHOLE_PERCENT and isinstance(line.quantity, Share):
            strength = line.quantity.strength
            raise refuse("over_hundred", ingredient=line.ingredient, share=strength)
        together += _percent_by_mass(line) or 0
    if together > WHOLE_PERCENT + CLOSES_WITHIN_PERCENT:
        raise refuse("shares_over_whole", percent=together)


def _refuse_open_shares(lines: list[Line]) -> None:
    percents = [_percent_by_mass(line) for line in lines]
    together = sum((percent for percent in percents if percent is not None), Fraction(0))
    if None in percents or abs(together - WHOLE_PERCENT) > CLOSES_WITHIN_PERCENT:
        raise refuse("no_total")


def _percent_by_mass(line: Line) -> Fraction | None:
    """Return a line's share in per cent w/w, or None where it is no share by mass."""
    return _percent(line, Dimension.MASS)


def _percent_of_kind(line: Line) -> Fraction:
    """Return a line's share in per cent of a whole of its own kind, 0 where it has none."""
    return _percent(line, Dimension.MASS) or _percent(line, Dimension.VOLUME) or Fraction(0)


def _percent(line: Line, kind: Dimension) -> Fraction | None:
    if not isinstance(line.quantity, Share):
        return None
    written = line.quantity.strength
    strength = written.as_percent() if isinstance(written, OneIn) else written
    part, whole = part_and_whole(strength)
    if {units.dimension(part), units.dimension(whole)} != {kind}:
        return None
    ratio = strength.number * units.factor(part, whole)
    return ratio if strength.unit.startswith("%") else ratio * WHOLE_PERCENT


def part_and_whole(strength: Concentration) -> tuple[str, str]:
    """Return the units of part and whole: % w/v is g in mL, % v/v mL in mL, % w/w g in g."""
    if not strength.unit.startswith("%"):
        return units.split_concentration(strength.unit)
    part, whole = strength.unit.removeprefix("% ").split("/")
    unit = {"w": "g", "v": "mL"}
    return unit[part], unit[whole]


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
