"""The strength that is declared, and the one that rounded readings will truly give."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from formulary.errors import Refusal
from formulary.formula.content import Line, Role
from formulary.formula.kinds import PerUnit, Share
from formulary.quantity import units
from formulary.quantity.amount import Amount, Concentration
from formulary.quantity.rounding import round_to_significant
from formulary.quantity.units import Dimension
from formulary.scaling.batch import Batch
from formulary.scaling.masses import mass_of_line
from formulary.scaling.required import Need

KIND = {
    (Dimension.MASS, Dimension.MASS): "% w/w",
    (Dimension.MASS, Dimension.VOLUME): "% w/v",
    (Dimension.VOLUME, Dimension.VOLUME): "% v/v",
}


@dataclass(frozen=True, slots=True)
class Strength:
    """An active's declared strength and the true one after rounding; both in the same unit.

    An amount is what one dose unit holds. ``deviation`` is in per cent of the declared strength.
    """

    ingredient: str
    declared: Concentration | Amount
    actual: Concentration | Amount
    deviation: Fraction

    @property
    def actual_shown(self) -> Concentration | Amount:
        """The true strength to four significant digits, for reading."""
        return type(self.actual)(round_to_significant(self.actual.number), self.actual.unit)


def strengths(
    batch: Batch,
    exact: Sequence[Need],
    wanted: Sequence[Amount | None],
    read: Sequence[Amount | None],
    made: Amount,
) -> tuple[Strength, ...]:
    """Return the strength of every active whose amount is known.

    ``exact`` are the needs for the batch, ``wanted`` the same as the lots at hand correct them,
    ``read`` what the readings hold of each and ``made`` what they add up to; the true strength is
    declared x (read / wanted) / (made / make).
    """
    found = []
    for line, need, aim, reading in zip(batch.content.lines, exact, wanted, read, strict=True):
        if line.role is not Role.ACTIVE or need.up_to or not (need.amount and need.amount.number):
            continue
        declared = _declared(line, need.amount, batch.make)
        if declared is None:
            continue
        change = _read_share(line, aim or need.amount, reading) / (made / batch.make)
        actual = type(declared)(declared.number * change, declared.unit)
        found.append(Strength(line.ingredient, declared, actual, (change - 1) * 100))
    return tuple(found)


def _read_share(line: Line, exact: Amount, reading: Amount | None) -> Fraction:
    """Return reading / exact; what was weighed for an activity or a volume is compared by mass."""
    if reading is None:
        return Fraction(1)
    if units.dimension(reading.unit) != units.dimension(exact.unit):
        exact = mass_of_line(line, exact).result
        reading = mass_of_line(line, reading).result
    return reading / exact


def _declared(line: Line, amount: Amount, make: Amount) -> Concentration | Amount | None:
    kind = line.quantity
    if isinstance(kind, Share):
        strength = kind.strength
        return strength if isinstance(strength, Concentration) else strength.as_percent()
    if isinstance(kind, PerUnit):
        return kind.amount
    if units.dimension(make.unit) == Dimension.PIECES:
        return amount * (1 / make.number)
    return _concentration(line, amount, make)


def _concentration(line: Line, amount: Amount, make: Amount) -> Concentration | None:
    part, whole = units.dimension(amount.unit), units.dimension(make.unit)
    if part == Dimension.ACTIVITY:
        per = "g" if whole == Dimension.MASS else "mL"
        return Concentration(amount.number / make.to(per).number, f"{amount.unit}/{per}")
    if (part, whole) not in KIND:
        try:
            amount = mass_of_line(line, amount).result
        except Refusal:
            return None
        part = Dimension.MASS
    per = "g" if whole == Dimension.MASS else "mL"
    unit = "mL" if part == Dimension.VOLUME else "g"
    return Concentration(amount.to(unit).number / make.to(per).number * 100, KIND[part, whole])
