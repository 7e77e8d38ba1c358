"""A number and its unit, inseparable and exact."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from formulary.quantity import units


@dataclass(frozen=True, slots=True)
class Amount:
    """An exact quantity of one substance or preparation.

    ``unit`` is the symbol of a simple unit of :mod:`formulary.quantity.units`, such as
    ``g``, ``mL``, ``drop`` or ``piece``. ``number`` is a :class:`~fractions.Fraction`; a float is
    refused, since it has already lost what was typed.
    """

    number: Fraction
    unit: str

    def __post_init__(self) -> None:
        if not isinstance(self.number, Fraction):
            raise TypeError(f"an amount holds a Fraction, not {type(self.number).__name__}")
        units.require(self.unit)

    def to(self, unit: str) -> Amount:
        """Return the same amount in another unit of the same dimension.

        Raises :class:`formulary.errors.UnitMismatch` where mass would have to meet volume.
        """
        if unit == self.unit:
            return self
        return Amount(self.number * units.factor(self.unit, unit), unit)

    def __add__(self, other: Amount) -> Amount:
        return Amount(self.number + other.to(self.unit).number, self.unit)

    def __sub__(self, other: Amount) -> Amount:
        return Amount(self.number - other.to(self.unit).number, self.unit)

    def __mul__(self, factor: Fraction | int) -> Amount:
        if not isinstance(factor, Fraction | int):
            raise TypeError(f"an amount is multiplied by a Fraction, not {type(factor).__name__}")
        return Amount(self.number * factor, self.unit)

    def __truediv__(self, other: Amount) -> Fraction:
        """Return the exact ratio of two amounts of one dimension."""
        return self.number / other.to(self.unit).number

    def __lt__(self, other: Amount) -> bool:
        return self.number < other.to(self.unit).number

    def __le__(self, other: Amount) -> bool:
        return self.number <= other.to(self.unit).number

    def __gt__(self, other: Amount) -> bool:
        return self.number > other.to(self.unit).number

    def __ge__(self, other: Amount) -> bool:
        return self.number >= other.to(self.unit).number


@dataclass(frozen=True, slots=True)
class Concentration:
    """How much of a part is in the whole: ``5 % w/w``, ``2 mg/mL``, ``100 units/g``.

    ``unit`` is ``% w/w``, ``% w/v``, ``% v/v`` or ``<unit>/<unit>``. A bare per cent has no
    kind and so is no concentration.
    """

    number: Fraction
    unit: str

    def __post_init__(self) -> None:
        if not isinstance(self.number, Fraction):
            raise TypeError(f"a concentration holds a Fraction, not {type(self.number).__name__}")
        units.require_concentration(self.unit)


@dataclass(frozen=True, slots=True)
class OneIn:
    """One part in ``total`` parts of the whole (1 in 1000 *total*), of kind w/w, w/v or v/v."""

    total: Fraction
    kind: str

    def __post_init__(self) -> None:
        if not isinstance(self.total, Fraction):
            raise TypeError(f"a ratio holds a Fraction, not {type(self.total).__name__}")
        if self.kind not in units.KINDS:
            raise ValueError(f"a ratio's kind is one of {units.KINDS}, not {self.kind!r}")

    def as_percent(self) -> Concentration:
        """Return the same strength in per cent of the same kind."""
        return Concentration(Fraction(100) / self.total, f"% {self.kind}")


@dataclass(frozen=True, slots=True)
class AsRead(Amount):
    """An amount with as many decimals as the instrument showed: 1.0000 g says more than 1 g.

    For saying it only: a record keeps the amount and the instrument's own text.
    """

    places: int


@dataclass(frozen=True, slots=True)
class Parts:
    """A number of equal parts of the whole, by mass unless the formula's total is a volume."""

    number: Fraction

    def __post_init__(self) -> None:
        if not isinstance(self.number, Fraction):
            raise TypeError(f"parts hold a Fraction, not {type(self.number).__name__}")
