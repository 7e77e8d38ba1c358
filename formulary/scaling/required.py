"""What each line needs for the amount that is made, exact and unrounded."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from formulary.errors import Refusal
from formulary.formula.content import Content, Line
from formulary.formula.kinds import Fixed, InParts, PerUnit, Share, ToEndPoint, ToTotal
from formulary.messages import Message, message
from formulary.quantity import units
from formulary.quantity.amount import Amount, Concentration
from formulary.quantity.units import Dimension
from formulary.scaling.making import as_kind
from formulary.scaling.masses import mass_of_line, volume_of_line
from formulary.scaling.whole import CLOSES_WITHIN_PERCENT, Whole


@dataclass(frozen=True, slots=True)
class Need:
    """What one line needs: an amount, or "up to" a mark, or nothing until its end point."""

    amount: Amount | None
    steps: tuple[Message, ...]
    up_to: bool = False


def needs(content: Content, whole: Whole, make: Amount) -> tuple[Need, ...]:
    """Return the need of every line, in order.

    Raises :class:`formulary.errors.Refusal` with a sentence wherever the sum can't be worked out:
    over-filled, a strength over 100 % w/w, a density missing where mass meets volume.
    """
    open_needs = [_need(content, whole, make, line) for line in content.lines]
    if whole.closing:
        _close(content, whole, make, open_needs)
    _refuse_over_whole(content, make, open_needs)
    return tuple(need for need in open_needs if need is not None)


def _need(content: Content, whole: Whole, make: Amount, line: Line) -> Need | None:
    """Return a line's need, or None for a line that closes the sum and so comes last."""
    kind = line.quantity
    if isinstance(kind, Fixed):
        return _scaled(whole, make, kind.amount)
    if isinstance(kind, Share):
        return _share(content, make, line, kind)
    if isinstance(kind, InParts):
        return _in_parts(content, make, kind)
    if isinstance(kind, PerUnit):
        return _per_unit(content, whole, make, kind)
    if isinstance(kind, ToEndPoint):
        return _to_end_point(whole, make, kind)
    return None


def _scaled(whole: Whole, make: Amount, written: Amount) -> Need:
    if whole.amount is None:
        raise Refusal(message("scaling.no_total"))
    factor = make / whole.amount
    amount = written * factor
    return Need(
        amount,
        (
            message("scaling.step.factor", made=make, whole=whole.amount, factor=factor),
            message("scaling.step.scaled", written=written, factor=factor, amount=amount),
        ),
    )


def _share(content: Content, make: Amount, line: Line, kind: Share) -> Need:
    strength = kind.strength
    written = strength if isinstance(strength, Concentration) else strength.as_percent()
    part, of = _part_and_whole(written)
    if written.unit == "% w/w" and written.number > 100:
        raise Refusal(message("scaling.over_hundred", ingredient=line.ingredient, share=written))
    if units.dimension(make.unit) == Dimension.PIECES:
        raise Refusal(message("scaling.share_of_units", ingredient=line.ingredient))
    total = as_kind(content, make, units.dimension(of))
    per = Fraction(1, 100) if written.unit.startswith("%") else Fraction(1)
    amount = Amount(written.number * per * total.result.to(of).number, part)
    step = message("scaling.step.share", share=strength, total=total.result, amount=amount)
    return Need(amount, (*total.steps, step))


def _part_and_whole(strength: Concentration) -> tuple[str, str]:
    """Return the units of part and whole: % w/v is g in mL, % v/v mL in mL, % w/w g in g."""
    if not strength.unit.startswith("%"):
        return units.split_concentration(strength.unit)
    part, whole = strength.unit.removeprefix("% ").split("/")
    unit = {"w": "g", "v": "mL"}
    return unit[part], unit[whole]


def _in_parts(content: Content, make: Amount, kind: InParts) -> Need:
    total = sum(
        (line.quantity.parts.number for line in content.lines if isinstance(line.quantity, InParts)),
        Fraction(0),
    )
    if not total:
        raise Refusal(message("scaling.no_total"))
    amount = make * (kind.parts.number / total)
    step = message(
        "scaling.step.parts", parts=kind.parts, total=total, made=make, amount=amount
    )
    return Need(amount, (step,))


def _per_unit(content: Content, whole: Whole, make: Amount, kind: PerUnit) -> Need:
    count = _units_made(content, whole, make)
    amount = kind.amount * count
    step = message("scaling.step.per_unit", each=kind.amount, count=count, amount=amount)
    return Need(amount, (step,))


def _units_made(content: Content, whole: Whole, make: Amount) -> Fraction:
    if units.dimension(make.unit) == Dimension.PIECES:
        return make.number
    if content.units is None or whole.amount is None:
        raise Refusal(message("scaling.no_dose_unit", title=content.title))
    return make / whole.amount * content.units


def _to_end_point(whole: Whole, make: Amount, kind: ToEndPoint) -> Need:
    step = message("scaling.step.end_point", end_point=kind.end_point)
    if kind.about is None:
        return Need(None, (step,))
    scaled = _scaled(whole, make, kind.about)
    return Need(scaled.amount, (*scaled.steps, step))


def _close(content: Content, whole: Whole, make: Amount, found: list[Need | None]) -> None:
    """Fill in the closing lines: the rest by mass, the mark by volume."""
    if units.dimension(make.unit) == Dimension.VOLUME and len(whole.closing) == 1:
        _close_to_mark(content, make, found, whole.closing[0])
        return
    others = [(line, need) for line, need in zip(content.lines, found, strict=True) if need]
    rest = rest_to(make, others)
    share = rest.amount_left * Fraction(1, len(whole.closing))
    for position in whole.closing:
        steps = rest.steps
        if len(whole.closing) > 1:
            steps = (
                *steps,
                message(
                    "scaling.step.shared",
                    rest=rest.amount_left,
                    count=len(whole.closing),
                    amount=share,
                ),
            )
        found[position] = Need(share, steps)


def _close_to_mark(
    content: Content, make: Amount, found: list[Need | None], position: int
) -> None:
    liquids = Amount(Fraction(0), "mL")
    for line, need in zip(content.lines, found, strict=True):
        if need and need.amount and units.dimension(need.amount.unit) == Dimension.VOLUME:
            liquids += need.amount
    if liquids > make:
        raise Refusal(message("scaling.over_filled", sum=liquids, total=make))
    found[position] = Need(make, (message("scaling.step.to_mark", total=make),), up_to=True)


@dataclass(frozen=True, slots=True)
class Rest:
    """What is left of a total after the other lines, with the subtraction spelt out."""

    amount_left: Amount
    steps: tuple[Message, ...]


def rest_to(total: Amount, others: list[tuple[Line, Need]]) -> Rest:
    """Return what is left to ``total`` after the other lines, by mass or by volume.

    Raises :class:`formulary.errors.Refusal` where nothing is left, or a density is missing.
    """
    by_volume = units.dimension(total.unit) == Dimension.VOLUME
    if units.dimension(total.unit) not in (Dimension.MASS, Dimension.VOLUME):
        raise Refusal(message("scaling.rest_of_units"))
    steps: list[Message] = []
    used = Amount(Fraction(0), "mL" if by_volume else "g")
    for line, need in others:
        if need.amount is None:
            continue
        part = (volume_of_line if by_volume else mass_of_line)(line, need.amount)
        steps.extend(part.steps)
        used += part.result
    left = total - used
    if left.number < 0:
        raise Refusal(message("scaling.over_filled", sum=used.to(total.unit), total=total))
    if by_volume:
        steps.append(message("scaling.step.volumes_taken_as_additive"))
    steps.append(message("scaling.step.rest", total=total, used=used.to(total.unit), amount=left))
    return Rest(left, tuple(steps))


def _refuse_over_whole(content: Content, make: Amount, found: list[Need | None]) -> None:
    """Refuse lines that weigh more than the whole, where the whole is a mass and none closes it."""
    if units.dimension(make.unit) != Dimension.MASS:
        return
    total = Amount(Fraction(0), "g")
    for line, need in zip(content.lines, found, strict=True):
        if need and need.amount and units.dimension(need.amount.unit) == Dimension.MASS:
            total += need.amount
        elif need and need.amount and line.density is not None:
            total += mass_of_line(line, need.amount).result
    if total.number > make.to("g").number * (1 + CLOSES_WITHIN_PERCENT / 100):
        raise Refusal(message("scaling.over_filled", sum=total.to(make.unit), total=make))
