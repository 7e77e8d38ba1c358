"""Plans for an amount too small to weigh: convenient weights for the instruments at hand.

Numbers here are plain: grams on balances, millilitres on measures, whichever an instrument reads.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import ceil

from formulary.house import Balance, Measure
from formulary.quantity import units

FIGURES = tuple(map(Fraction, ("1", "1.2", "1.5", "2", "2.5", "3", "4", "5", "6", "8")))
"""The figures of weights that are easily set and remembered, in each power of ten."""
RATIOS = tuple(map(Fraction, (2, 4, 5, 10, 20, 25, 50, 100)))
"""One part in so many, for one mixing; the last is the most that mixes evenly by doubling."""
MULTIPLES = tuple(map(Fraction, (2, 4, 5, 8, 10, 12, 20, 25, 40, 50, 100, 200, 500, 1000)))
CLOSE = Fraction(1, 1000)
"""Of two plans the one with less waste is better, if rounding changes neither by more."""
MOST_TRIED = 10


@dataclass(frozen=True, slots=True)
class Reach:
    """What an instrument can do: least and most in g or mL, and its readability."""

    name: str
    least: Fraction
    most: Fraction
    step: Fraction

    def does(self, number: Fraction) -> bool:
        """Whether the amount lies within what the instrument may weigh or measure."""
        return self.least <= number <= self.most

    def rounded(self, number: Fraction) -> Fraction:
        """Return the nearest amount that the instrument shows, half to even."""
        return round(number / self.step) * self.step


@dataclass(frozen=True, slots=True)
class Reading:
    """An amount and the instrument it is read on."""

    number: Fraction
    on: Reach

    @property
    def is_exact(self) -> bool:
        """Whether the instrument shows the amount without rounding."""
        return (self.number / self.on.step).denominator == 1


@dataclass(frozen=True, slots=True)
class Mixture:
    """One mixing: ``taken`` with ``diluent``, of which ``aliquot`` is taken."""

    taken: Reading
    diluent: Reading
    aliquot: Reading

    @property
    def total(self) -> Fraction:
        """All of it."""
        return self.taken.number + self.diluent.number

    def holds(self) -> Fraction:
        """Return how much of what was taken is in the aliquot."""
        return self.aliquot.number * self.taken.number / self.total


def reaches(
    instruments: Iterable[Balance | Measure], permitted_error: Fraction | None = None
) -> tuple[Reach, ...]:
    """Return the instruments, finest first.

    With a permitted error in per cent the least is 100 steps of readability for each per cent,
    where that is more than the instrument's own minimum.
    """
    found = []
    for each in instruments:
        base = "g" if units.dimension(each.capacity.unit) == units.MASS else "mL"
        step = each.readability.to(base).number
        by_step = step * 100 / permitted_error if permitted_error else step
        least = max(each.minimum.to(base).number, by_step)
        found.append(Reach(each.name, least, each.capacity.to(base).number, step))
    return tuple(sorted(found, key=lambda reach: (reach.step, reach.most)))


def finest(number: Fraction, reach: Sequence[Reach]) -> Reading | None:
    """Return the amount on the finest instrument that does it, or None."""
    return next((Reading(number, each) for each in reach if each.does(number)), None)


def convenient_from(least: Fraction) -> Iterator[Fraction]:
    """Yield weights that are easily set, from the least one up, without end."""
    power = Fraction(10) ** (len(str(ceil(1 / least))) * -1 if least < 1 else -1)
    while power * 10 <= least:
        power *= 10
    while True:
        yield from (figure * power for figure in FIGURES if figure * power >= least)
        power *= 10


def to_take(needed: Fraction, reach: Sequence[Reach], most: Fraction | None) -> list[Reading]:
    """Return amounts to start from that are read exactly: easy weights, and whole multiples."""
    numbers: set[Fraction] = set()
    for least in {max(each.least, needed) for each in reach}:
        easy = convenient_from(least)
        numbers.update(next(easy) for _ in FIGURES)
        numbers.update(needed * times for times in MULTIPLES if needed * times >= least)
    readings = (finest(number, reach) for number in sorted(numbers) if number > needed)
    exact = (each for each in readings if each is not None and each.is_exact)
    able = [each for each in exact if most is None or each.number <= most]
    return able[:MOST_TRIED]


def to_part(needed: Fraction, reach: Sequence[Reach], most: Fraction | None) -> list[Reading]:
    """Return aliquots to try: those of an easy ratio, then those of an easy weight."""
    numbers = [needed * ratio for ratio in RATIOS]
    for least in sorted({max(each.least, needed) for each in reach}):
        easy = convenient_from(least)
        numbers += [next(easy) for _ in FIGURES[:4]]
    top = needed * RATIOS[-1]
    fitting = (each for each in numbers if needed < each <= top and (most is None or each <= most))
    readings = (finest(number, reach) for number in dict.fromkeys(fitting))
    return [each for each in readings if each is not None and each.is_exact]


def best_mixture(
    needed: Fraction,
    reach: Sequence[Reach],
    most_aliquot: Fraction | None = None,
    supply: Fraction | None = None,
) -> Mixture | None:
    """Return the mixing that gives the amount with the least waste, or None if none does.

    Close to the amount comes first, then a whole ratio, then little mixture.
    """
    parts = to_part(needed, reach, most_aliquot)
    found = (
        _mixture(needed, taken, part, reach)
        for taken in to_take(needed, reach, supply)
        for part in parts
    )
    able = [each for each in found if each is not None]
    return min(able, key=lambda mixture: _badness(needed, mixture), default=None)


def _mixture(
    needed: Fraction, taken: Reading, part: Reading, reach: Sequence[Reach]
) -> Mixture | None:
    diluent = finest(taken.number * (part.number / needed - 1), reach)
    if diluent is None:
        return None
    rounded = diluent.on.rounded(diluent.number)
    mixture = Mixture(taken, Reading(rounded, diluent.on), part)
    return mixture if part.number <= mixture.total else None


def _badness(needed: Fraction, mixture: Mixture) -> tuple[bool, bool, Fraction]:
    off = abs(mixture.holds() / needed - 1)
    odd = (mixture.total / mixture.taken.number).denominator != 1
    return off > CLOSE, odd, mixture.total
