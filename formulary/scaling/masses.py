"""The mass or volume that a line's amount stands for: through density, drop or potency, shown."""

from __future__ import annotations

from formulary.errors import Refusal
from formulary.formula.content import Line
from formulary.messages import Message, message
from formulary.quantity import units
from formulary.quantity.amount import Amount
from formulary.quantity.density import Density, mass_of, volume_of
from formulary.quantity.units import Dimension
from formulary.quantity.writing import convenient
from formulary.working import Working


def mass_of_line(line: Line, amount: Amount) -> Working[Amount]:
    """Return the mass of ``amount`` of the line's ingredient, with the steps taken.

    Raises :class:`formulary.errors.Refusal` naming what is missing: a density, the mass of a drop
    or the potency.
    """
    dimension = units.dimension(amount.unit)
    if dimension == Dimension.MASS:
        return Working(amount, ())
    if dimension == Dimension.VOLUME:
        return _through_density(line, amount)
    if dimension == Dimension.DROPS:
        return _through_drops(line, amount)
    if dimension == Dimension.ACTIVITY:
        return _through_potency(line, amount)
    raise Refusal(message("scaling.pieces_have_no_mass", ingredient=line.ingredient))


def volume_of_line(line: Line, amount: Amount) -> Working[Amount]:
    """Return the volume in mL of ``amount`` of the line's ingredient, with the steps taken.

    Raises :class:`formulary.errors.Refusal` as :func:`mass_of_line` does.
    """
    if units.dimension(amount.unit) == Dimension.VOLUME:
        return Working(amount.to("mL"), ())
    if units.dimension(amount.unit) == Dimension.DROPS and _drop_is_volume(line):
        return _through_drops_to_volume(line, amount)
    mass = mass_of_line(line, amount)
    density = density_of(line)
    volume = volume_of(mass.result, density)
    step = message(
        "scaling.step.volume_from_mass",
        ingredient=line.ingredient,
        mass=mass.result,
        density=density.g_per_mL,
        volume=volume,
    )
    return Working(volume, (*mass.steps, step))


def density_of(line: Line) -> Density:
    """Return the line's density, or refuse naming the ingredient."""
    if line.density is None:
        raise Refusal(message("scaling.density_missing", ingredient=line.ingredient))
    return line.density


def _through_density(line: Line, volume: Amount) -> Working[Amount]:
    density = density_of(line)
    mass = mass_of(volume, density)
    return Working(mass, (_mass_step(line, volume, density, mass),))


def _mass_step(line: Line, volume: Amount, density: Density, mass: Amount) -> Message:
    return message(
        "scaling.step.mass_from_volume",
        ingredient=line.ingredient,
        volume=volume,
        density=density.g_per_mL,
        mass=mass,
    )


def _drop_is_volume(line: Line) -> bool:
    return line.drop is not None and units.dimension(line.drop.unit) == Dimension.VOLUME


def _drop_of(line: Line) -> Amount:
    if line.drop is None:
        raise Refusal(message("scaling.drop_missing", ingredient=line.ingredient))
    return line.drop


def _through_drops(line: Line, drops: Amount) -> Working[Amount]:
    drop = _drop_of(line)
    together = drop * drops.number
    step = message(
        "scaling.step.drops", ingredient=line.ingredient, drops=drops, drop=drop, amount=together
    )
    if units.dimension(drop.unit) == Dimension.MASS:
        return Working(together, (step,))
    mass = _through_density(line, together)
    return Working(mass.result, (step, *mass.steps))


def _through_drops_to_volume(line: Line, drops: Amount) -> Working[Amount]:
    drop = _drop_of(line)
    together = drop * drops.number
    step = message(
        "scaling.step.drops", ingredient=line.ingredient, drops=drops, drop=drop, amount=together
    )
    return Working(together.to("mL"), (step,))


def _through_potency(line: Line, activity: Amount) -> Working[Amount]:
    if line.potency is None:
        raise Refusal(message("scaling.potency_missing", ingredient=line.ingredient))
    mass = convenient(Amount(activity.number / line.potency, "mg"))
    step = message(
        "scaling.step.activity",
        ingredient=line.ingredient,
        activity=activity,
        potency=line.potency,
        mass=mass,
    )
    return Working(mass, (step,))
