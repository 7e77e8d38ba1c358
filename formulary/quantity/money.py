"""A sum of money: exact, in a currency that says how many decimals it is written with."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction


@dataclass(frozen=True, slots=True)
class Money:
    """An exact sum; ``unit`` is the currency's code (EUR), ``minor_units`` its decimals (2)."""

    number: Fraction
    unit: str
    minor_units: int = 2

    def __post_init__(self) -> None:
        if not isinstance(self.number, Fraction):
            raise TypeError(f"money holds a Fraction, not {type(self.number).__name__}")
