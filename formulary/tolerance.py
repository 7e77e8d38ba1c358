"""What a weighing means against its target: the band, and a verdict on a reading."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from formulary.formula.content import Line, Role
from formulary.quantity.amount import Amount

STRICT_PERCENT = Fraction(1)
"""Default for actives and preservatives: 1 % where technically possible (common practice)."""
WIDE_PERCENT = Fraction(3)
"""Default for bases, vehicles and the rest; the pharmacist sets it per line (common practice)."""


@dataclass(frozen=True, slots=True)
class Band:
    """The readings that count as right: ``low`` to ``high``, both inside."""

    target: Amount
    percent: Fraction

    @property
    def low(self) -> Amount:
        """Return the smallest reading inside."""
        return self.target * (1 - self.percent / 100)

    @property
    def high(self) -> Amount:
        """Return the largest reading inside."""
        return self.target * (1 + self.percent / 100)


@dataclass(frozen=True, slots=True)
class Verdict:
    """A reading judged: inside or not, and by how much it is over (positive) or under."""

    inside: bool
    difference: Amount
    percent: Fraction


def default_percent(role: Role) -> Fraction:
    """Return the tolerance of a role in per cent where its line sets none."""
    strict = (Role.ACTIVE, Role.PRESERVATIVE)
    return STRICT_PERCENT if role in strict else WIDE_PERCENT


def tolerance_of(line: Line) -> Fraction:
    """Return the allowed weighing error of a line in per cent: its own, or its role's."""
    return line.tolerance if line.tolerance is not None else default_percent(line.role)


def judge(reading: Amount, band: Band) -> Verdict:
    """Return what a reading means against its band. The target must not be zero."""
    difference = reading.to(band.target.unit) - band.target
    percent = difference / band.target * 100
    return Verdict(abs(percent) <= band.percent, difference, percent)
