"""What fills a mould or a capsule beside what else is in it: base by displacement, or filler."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from typing import TypeAlias

from formulary.calculations.capsules import Powder, filler_by_volume
from formulary.calculations.suppositories import Active, base_needed
from formulary.errors import Refusal
from formulary.formula.content import Content, Line
from formulary.formula.moulding import Capsule, Convention, Displacement, Mould
from formulary.messages import Message, message
from formulary.quantity.amount import Amount
from formulary.quantity.writing import convenient
from formulary.scaling.masses import mass_of_line
from formulary.working import Working

Others: TypeAlias = Sequence[tuple[Line, Amount]]
"""The other lines with what they need for all units."""


def to_fill(content: Content, line: Line, units: Fraction, others: Others) -> Working[Amount]:
    """Return what ``line`` needs to fill so many units.

    Raises :class:`formulary.errors.Refusal` where there is nothing to fill, where a displacement
    or a tapped density is missing, and where the others leave no room.
    """
    if content.mould is not None:
        return _base(content.mould, units, others)
    if content.capsule is not None:
        return _filler(content.capsule, line, units, others)
    raise Refusal(message("scaling.nothing_to_fill", ingredient=line.ingredient))


def _base(mould: Mould, units: Fraction, others: Others) -> Working[Amount]:
    """Return the base for so many units: N x (capacity − sum of dose x factor)."""
    steps: list[Message] = []
    actives = []
    for place, (line, amount) in enumerate(others, 1):
        dose = _in_one(line, amount, units)
        displacement = _displacement_of(line, mould)
        said = _displacement_step(place, line, displacement, mould)
        actives.append(Active(dose.result, displacement.factor))
        steps.extend((*dose.steps, said))
    base = base_needed(units, mould.capacity, actives)
    return Working(convenient(base.result), (*steps, *base.steps))


def _in_one(line: Line, amount: Amount, units: Fraction) -> Working[Amount]:
    """Return the mass of an ingredient in one unit."""
    mass = mass_of_line(line, amount)
    return Working(convenient(mass.result * (1 / units)), mass.steps)


def _displacement_of(line: Line, mould: Mould) -> Displacement:
    if line.displacement is None:
        key = "displacement_missing_for" if mould.base else "displacement_missing"
        raise Refusal(message(f"scaling.{key}", ingredient=line.ingredient, base=mould.base))
    return line.displacement


def _displacement_step(place: int, line: Line, displacement: Displacement, mould: Mould) -> Message:
    by_value = displacement.convention is Convention.VALUE
    return message(
        f"scaling.step.displacement_{'value' if by_value else 'factor'}",
        place=place,
        ingredient=line.ingredient,
        number=displacement.number,
        factor=displacement.factor,
        base=mould.base or message("formula.filled.base"),
        source=displacement.source,
    )


def _filler(capsule: Capsule, line: Line, units: Fraction, others: Others) -> Working[Amount]:
    """Return the filler for so many capsules: what room the powders leave, by tapped density."""
    doses = [_in_one(each, amount, units) for each, amount in others]
    powders = [
        Powder(dose.result, _tapped(each)) for dose, (each, _) in zip(doses, others, strict=True)
    ]
    each = filler_by_volume(capsule.volume, powders, _tapped(line))
    whole = capsule.volume * units
    filler = convenient(each.result * units)
    steps = (
        *(step for dose in doses for step in dose.steps),
        *each.steps,
        message("scaling.step.filler", units=units, each=convenient(each.result), amount=filler),
        message("scaling.step.calibrated", units=units, volume=capsule.volume, total=whole),
    )
    return Working(filler, steps)


def _tapped(line: Line) -> Fraction:
    if line.density is None:
        raise Refusal(message("scaling.tapped_density_missing", ingredient=line.ingredient))
    return line.density.g_per_mL
