"""Control limits of a series of single values: where the process has been, it should stay.

The chart for individual values with the moving range of two neighbours (Shewhart; the factors as in
ISO 7870-2, from memory): centre = mean, limits = mean -+ 2.66 x mean moving range, where
2.66 = 3 / 1.128, and 1.128 is how far two values of one normal process lie apart, in standard
deviations. A value outside asks for a look at that batch; it is no limit of the formula.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise

FACTOR = Fraction(266, 100)
LEAST_VALUES = 8
"""Fewer say nothing of a process. Ours, no source."""
SURE_VALUES = 20
"""Until so many the limits are provisional (20 to 25 are asked for; from memory)."""


@dataclass(frozen=True, slots=True)
class ControlLimits:
    """The centre of a series and the limits around it, in the series' own unit."""

    lower: Fraction
    centre: Fraction
    upper: Fraction
    provisional: bool

    def contains(self, value: Fraction) -> bool:
        """Whether a value lies inside; both ends are inside."""
        return self.lower <= value <= self.upper


def control_limits(values: Sequence[Fraction]) -> ControlLimits | None:
    """Return the limits of a series in the order in which it was made, None for too short a one."""
    if len(values) < LEAST_VALUES:
        return None
    centre = sum(values, Fraction(0)) / len(values)
    ranges = [abs(later - earlier) for earlier, later in pairwise(values)]
    reach = FACTOR * sum(ranges, Fraction(0)) / len(ranges)
    return ControlLimits(centre - reach, centre, centre + reach, len(values) < SURE_VALUES)


def outside(values: Sequence[Fraction], limits: ControlLimits | None) -> tuple[int, ...]:
    """Return the places of the values beyond the limits, from 0; none without limits."""
    if limits is None:
        return ()
    return tuple(place for place, value in enumerate(values) if not limits.contains(value))
