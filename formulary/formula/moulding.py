"""What dose units are filled into: moulds with what displaces their base, and capsules."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction

from formulary.quantity.amount import Amount


class Convention(StrEnum):
    """Which of two opposite figures a displacement is."""

    VALUE = "value"
    """Grams of the ingredient that displace one gram of base."""
    FACTOR = "factor"
    """Grams of base that one gram of the ingredient displaces."""


@dataclass(frozen=True, slots=True)
class Displacement:
    """How an ingredient displaces the base of a mould, and where the figure is from.

    Raises ValueError for a figure of zero or less and for one without a source.
    """

    number: Fraction
    source: str
    convention: Convention = Convention.VALUE

    def __post_init__(self) -> None:
        if self.number <= 0:
            raise ValueError("a displacement is more than nothing")
        if not self.source.strip():
            raise ValueError("a displacement names its source")

    @property
    def factor(self) -> Fraction:
        """The grams of base that one gram of the ingredient displaces."""
        return self.number if self.convention is Convention.FACTOR else 1 / self.number


@dataclass(frozen=True, slots=True)
class Mould:
    """A mould, calibrated: ``capacity`` is the mass of plain base that one cavity holds.

    ``base`` names that base, for which every displacement of the formula holds; ``spare`` is how
    many units are made beyond the order, whatever its size.
    """

    capacity: Amount
    base: str = ""
    spare: int = 0


@dataclass(frozen=True, slots=True)
class Capsule:
    """A capsule: ``volume`` is what its body holds, ``size`` what its maker calls it.

    ``spare`` is how many are made beyond the order, whatever its size.
    """

    volume: Amount
    size: str = ""
    spare: int = 0
