"""What each line needs for the amount that is made, exact and unrounded."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from formulary.errors import Refusal
from formulary.formula.content import Line
from formulary.formula.kinds import Fixed, InParts, PerUnit, Share, ToEndPoint, ToFill
from formulary.messages import Message, message
from formulary.quantity import units
from formulary.quantity.amount import Amount, Concentration
from formulary.quantity.units import Dimension
from formulary.quantity.writing import convenient
from formulary.scaling.batch import Batch
from formulary.scaling.filling import to_fill
from formulary.scaling.making import as_kind
from formulary.scaling.masses import mass_of_line, volume_of_line
from formulary.scaling.whole import CLOSES_WITHIN_PERCENT, WHOLE_PERCENT, part_and_whole

CONTRACTS_WITHIN_PERCENT = Fraction(5)
"""How far liquids may be over the volume that they make together: ethanol and water, the strongest
case of the trade, lose under 4 % (from memory)."""


@dataclass(frozen=True, slots=True)
class Need:
    """What one line needs: an amount, or "up to" a mark, or nothing until its end point."""

    amount: Amount | None
    steps: tuple[Message, ...]
    up_to: bool = False


def needs(batch: Batch) -> tuple[Need, ...]:
    """Return the need of every line, in order.

    Raises :class:`formulary.errors.Refusal` with a sentence wherever the sum can't be worked out:
    over-filled, a strength over 100 % w/w, a density missing where mass meets volume.
    """
    found = [_need(batch, line) for line in batch.content.lines]
    complete(batch, found)
    _refuse_over_whole(batch, found)
    return tuple(need for need in found if need is not None)


def _need(batch: Batch, line: Line) -> Need | None:
    """Return a line's need, or None for a line that closes the sum or fills and so comes last."""
    kind = line.quantity
    if isinstance(kind, Fixed):
        return _scaled(batch, kind.amount)
    if isinstance(kind, Share):
        return _share(batch, line, kind)
    if isinstance(kind, InParts):
        return _in_parts(batch, kind)
    if isinstance(kind, PerUnit):
        return _per_unit(batch, kind)
    if isinstance(kind, ToEndPoint):
        return _to_end_point(batch, kind)
    return None


def _scaled(batch: Batch, written: Amount) -> Need:
    whole = batch.whole.amount
    if whole is None:
        raise Refusal(message("scaling.no_total"))
    factor = batch.make / whole
    amount = convenient(written * factor)
    return Need(
        amount,
        (
            message("scaling.step.factor", made=batch.make, whole=whole, factor=factor),
            message("scaling.step.scaled", written=written, factor=factor, amount=amount),
        ),
    )


def _share(batch: Batch, line: Line, kind: Share) -> Need:
    strength = kind.strength
    written = strength if isinstance(strength, Concentration) else strength.as_percent()
    part, of = part_and_whole(written)
    if batch.dimension == Dimension.PIECES:
        raise Refusal(message("scaling.share_of_units", ingredient=line.ingredient))
    if units.dimension(of) not in (Dimension.MASS, Dimension.VOLUME) or (
        units.dimension(part) not in units.IN_FORMULAS
    ):
        raise Refusal(message("scaling.share_of_no_size", ingredient=line.ingredient))
    total = as_kind(batch.content, batch.make, units.dimension(of))
    per = Fraction(1, 100) if written.unit.startswith("%") else Fraction(1)
    amount = convenient(Amount(written.number * per * total.result.to(of).number, part))
    step = message("scaling.step.share", share=strength, total=total.result, amount=amount)
    return Need(amount, (*total.steps, step))


def _in_parts(batch: Batch, kind: InParts) -> Need:
    total = sum(
        (
            line.quantity.parts.number
            for line in batch.content.lines
            if isinstance(line.quantity, InParts)
        ),
        Fraction(0),
    )
    if not total:
        raise Refusal(message("scaling.no_total"))
    amount = convenient(batch.make * (kind.parts.number / total))
    step = message(
        "scaling.step.parts", parts=kind.parts, total=total, made=batch.make, amount=amount
    )
    return Need(amount, (step,))


def _per_unit(batch: Batch, kind: PerUnit) -> Need:
    count = _units_made(batch)
    amount = convenient(kind.amount * count)
    step = message("scaling.step.per_unit", each=kind.amount, count=count, amount=amount)
    return Need(amount, (step,))


def _units_made(batch: Batch) -> Fraction:
    if batch.dimension == Dimension.PIECES:
        return batch.make.number
    content, whole = batch.content, batch.whole.amount
    if content.units is None or whole is None:
        raise Refusal(message("scaling.no_dose_unit", title=content.title))
    return batch.make / whole * content.units


def _to_end_point(batch: Batch, kind: ToEndPoint) -> Need:
    step = message("scaling.step.end_point", end_point=kind.end_point)
    if kind.about is None:
        return Need(None, (step,))
    scaled = _scaled(batch, kind.about)
    return Need(scaled.amount, (*scaled.steps, step))


def complete(batch: Batch, found: list[Need | None]) -> None:
    """Fill in the lines that give way: those that close the sum, and one that fills.

    Raises :class:`formulary.errors.Refusal` where the others leave no room, or a density is
    missing.
    """
    if batch.whole.closing:
        _close(batch, found)
    _fill(batch, found)


def gives_way(batch: Batch) -> tuple[int, ...]:
    """Return the positions of the lines whose amount is what the others leave."""
    lines = batch.content.lines
    filling = (i for i, line in enumerate(lines) if isinstance(line.quantity, ToFill))
    return (*batch.whole.closing, *filling)


def _close(batch: Batch, found: list[Need | None]) -> None:
    """Fill in the closing lines: the rest by mass, the mark by volume."""
    closing = batch.whole.closing
    if batch.dimension == Dimension.VOLUME and len(closing) == 1:
        found[closing[0]] = _to_mark(batch, found)
        return
    others = [(line, need) for line, need in zip(batch.content.lines, found, strict=True) if need]
    rest = rest_to(batch.make, others)
    share = shared_out(rest, len(closing))
    for position in closing:
        found[position] = share


def _fill(batch: Batch, found: list[Need | None]) -> None:
    """Fill in the line that fills a mould or a capsule beside the others."""
    lines = batch.content.lines
    pairs = zip(lines, found, strict=True)
    others = [(line, need.amount) for line, need in pairs if need and need.amount]
    for position, line in enumerate(lines):
        if isinstance(line.quantity, ToFill):
            filling = to_fill(batch.content, line, batch.make.number, others)
            found[position] = Need(filling.result, filling.steps)


def shared_out(rest: Rest, count: int) -> Need:
    """Return what each of ``count`` closing lines gets of the rest."""
    if count == 1:
        return Need(rest.left, rest.steps)
    share = convenient(rest.left * Fraction(1, count))
    step = message("scaling.step.shared", rest=rest.left, count=count, amount=share)
    return Need(share, (*rest.steps, step))


def _to_mark(batch: Batch, found: list[Need | None]) -> Need:
    liquids = _liquids(found)
    if liquids > batch.make:
        raise _over_filled(liquids, batch.make)
    step = message("scaling.step.to_mark", total=batch.make)
    return Need(batch.make, (step,), up_to=True)


@dataclass(frozen=True, slots=True)
class Rest:
    """What is left of a total after the other lines, with the subtraction spelt out."""

    left: Amount
    steps: tuple[Message, ...]


def rest_to(total: Amount, others: list[tuple[Line, Need]]) -> Rest:
    """Return what is left to ``total`` after the other lines, by mass or by volume.

    Raises :class:`formulary.errors.Refusal` where they are over it, or a density is missing.
    """
    used, steps = sum_for(total, others)
    left = convenient(total - used)
    if left.number < 0:
        raise Refusal(message("scaling.over_filled", sum=used, total=total))
    return Rest(left, (*steps, message("scaling.step.rest", total=total, used=used, amount=left)))


def sum_for(total: Amount, lines: list[tuple[Line, Need]]) -> tuple[Amount, tuple[Message, ...]]:
    """Return what lines come to in the kind and unit of a total, with the steps taken."""
    by_volume = units.dimension(total.unit) == Dimension.VOLUME
    if units.dimension(total.unit) not in (Dimension.MASS, Dimension.VOLUME):
        raise Refusal(message("scaling.rest_of_units"))
    steps: list[Message] = []
    used = Amount(Fraction(0), "mL" if by_volume else "g")
    for line, need in lines:
        if need.amount is None:
            continue
        part = (volume_of_line if by_volume else mass_of_line)(line, need.amount)
        steps.extend(part.steps)
        used += part.result
    if by_volume:
        steps.append(message("scaling.step.volumes_taken_as_additive"))
    return used.to(total.unit), tuple(steps)


def _liquids(found: Sequence[Need | None]) -> Amount:
    """Return the sum of what is measured by volume, other than a line made up to a mark."""
    total = Amount(Fraction(0), "mL")
    for need in found:
        if need and need.amount and not need.up_to:
            by_volume = units.dimension(need.amount.unit) == Dimension.VOLUME
            total += need.amount if by_volume else Amount(Fraction(0), "mL")
    return total


def _over_filled(total: Amount, whole: Amount) -> Refusal:
    return Refusal(message("scaling.over_filled", sum=total.to(whole.unit), total=whole))


def _refuse_over_whole(batch: Batch, found: Sequence[Need | None]) -> None:
    """Refuse lines that come to more than the whole where no line closes it."""
    if batch.dimension == Dimension.MASS:
        total, spare = _masses(batch, found), CLOSES_WITHIN_PERCENT
    elif batch.dimension == Dimension.VOLUME:
        total, spare = _liquids(found), CONTRACTS_WITHIN_PERCENT
    else:
        return
    if total > batch.make * (1 + spare / WHOLE_PERCENT):
        raise _over_filled(total, batch.make)


def _masses(batch: Batch, found: Sequence[Need | None]) -> Amount:
    total = Amount(Fraction(0), "g")
    for line, need in zip(batch.content.lines, found, strict=True):
        if need and need.amount and _has_mass(line, need.amount):
            total += mass_of_line(line, need.amount).result
    return total


def _has_mass(line: Line, amount: Amount) -> bool:
    dimension = units.dimension(amount.unit)
    return dimension == Dimension.MASS or (
        dimension == Dimension.VOLUME and line.density is not None
    )
