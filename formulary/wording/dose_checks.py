"""Whether a dose can be meant: held against the strength, and against all that was filled."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from formulary.quantity import units
from formulary.quantity.amount import Amount, Concentration
from formulary.wording.directions import Dosing, content_of
from formulary.wording.figures import Dose, doses

_AGREES = Fraction(1, 20)
"""A dose in mL is rounded to what is measured: so far its mass in mg may be off."""


@dataclass(frozen=True, slots=True)
class Mistaken:
    """A dose as it was typed, what it really holds, and by which factor that is off."""

    dose: Dose
    holds: Amount
    times: Fraction


def mistaken(text: str, strength: Concentration | None) -> Iterator[Mistaken]:
    """Yield the doses of a text whose volume and mass don't fit the only active's strength."""
    for dose in doses(text) if strength is not None else ():
        holds = None if strength is None else content_of(dose.volume, strength)
        if holds is None or units.dimension(holds.unit) is not units.dimension(dose.mass.unit):
            continue
        said, right = dose.mass.to(holds.unit).number, holds.number
        if said and right and abs(said - right) > _AGREES * right:
            yield Mistaken(dose, holds, max(said / right, right / said))


def is_beyond(dosing: Dosing | None, filled: Amount) -> bool:
    """Tell whether one dose is more than all that was filled; not where the two can't be told."""
    each = None if dosing is None else dosing.amount
    if each is None or units.dimension(each.unit) is not units.dimension(filled.unit):
        return False
    return each > filled
