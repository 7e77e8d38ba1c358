"""A formula with what it makes as written and what is to be made of it now."""

from __future__ import annotations

from dataclasses import dataclass

from formulary.formula.content import Content
from formulary.quantity import units
from formulary.quantity.amount import Amount
from formulary.quantity.units import Dimension
from formulary.scaling.whole import Whole


@dataclass(frozen=True, slots=True)
class Batch:
    """``make`` is the amount made, excess included, in the dimension of the formula's whole."""

    content: Content
    whole: Whole
    make: Amount

    @property
    def dimension(self) -> Dimension:
        """Return whether the batch is a mass, a volume or a number of dose units."""
        return units.dimension(self.make.unit)
