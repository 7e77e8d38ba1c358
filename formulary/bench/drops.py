"""Drops counted in groups as they go in, with the amount they stand for."""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction
from math import ceil, floor

from formulary.errors import Refusal
from formulary.messages import Message, message
from formulary.quantity import units
from formulary.quantity.amount import Amount
from formulary.quantity.units import Dimension
from formulary.scaling.plan import PlannedLine
from formulary.tolerance import tolerance_of


@dataclass(frozen=True, slots=True)
class DropCount:
    """The drops of one line: how many are ``needed``, the allowed error, and the groups so far.

    ``drop`` is the mass or volume of one drop with the house's dropper.
    """

    line: int
    ingredient: str
    needed: Fraction
    percent: Fraction
    drop: Amount | None = None
    groups: tuple[int, ...] = ()

    @property
    def wanted(self) -> int:
        """The whole drops asked for; a half counts up."""
        return floor(self.needed + Fraction(1, 2))

    @property
    def lowest(self) -> int:
        """The fewest drops inside the tolerance: of 20 drops at 3 % that is 20."""
        return min(ceil(self.needed * (1 - self.percent / 100)), self.wanted)

    @property
    def highest(self) -> int:
        """The most drops inside the tolerance."""
        return max(floor(self.needed * (1 + self.percent / 100)), self.wanted)

    @property
    def counted(self) -> int:
        """The drops that are in."""
        return sum(self.groups)

    @property
    def to_come(self) -> int:
        """The drops still asked for, never below nothing."""
        return max(self.wanted - self.counted, 0)

    @property
    def stands_for(self) -> Amount | None:
        """The mass or volume of the drops that are in, where a drop was calibrated."""
        return None if self.drop is None else self.drop * self.counted

    @property
    def is_inside(self) -> bool:
        """Whether the count is inside the bounds."""
        return self.lowest <= self.counted <= self.highest


def drops_of(position: int, planned: PlannedLine) -> DropCount | None:
    """Return the count that a line counted in drops begins with, None for a line that is weighed.

    The bounds are the drops needed and the line's tolerance, in whole drops inside it.
    """
    amount = planned.to_measure or planned.required
    if amount is None or units.dimension(amount.unit) is not Dimension.DROPS:
        return None
    line = planned.line
    needed = amount.to("drop").number
    return DropCount(position, line.ingredient, needed, tolerance_of(line), line.drop)


def add_group(count: DropCount, drops: int) -> DropCount:
    """Return the count with one more group.

    Raises :class:`formulary.errors.Refusal` for a group of none. More than the bounds allow are
    counted all the same, since they are in; :attr:`DropCount.is_inside` then says no.
    """
    if drops < 1:
        raise Refusal(message("bench.drops.none", ingredient=count.ingredient))
    return replace(count, groups=(*count.groups, drops))


def count_said(count: DropCount) -> Message:
    """Return how the count stands, in words and figures."""
    figures = {
        "counted": count.counted,
        "wanted": count.wanted,
        "lowest": count.lowest,
        "highest": count.highest,
    }
    standing = "inside" if count.is_inside else "over" if count.counted > count.highest else "under"
    if count.stands_for is None:
        return message(f"bench.drops.{standing}", **figures)
    return message(f"bench.drops.{standing}_amount", **figures, amount=count.stands_for)
