"""The strength that every active truly has by what was weighed so far, and how sure that is.

Lines still to come count at their target, so the figure is live from the first reading. A reading
may be off by one step of its balance (half at the tare, half at the figure) and by twice the
balance's repeatability, where the house has measured it. These bounds are added up, never averaged
out: the rule is ours, exact, and wider than a statistical one.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from formulary.bench.weighing import (
    LineState,
    Standing,
    is_finished,
    remaining,
    share,
    standing,
    weighed,
)
from formulary.formula.content import Line, Role
from formulary.formula.kinds import ToEndPoint
from formulary.house import House
from formulary.messages import Message, message
from formulary.quantity import units
from formulary.quantity.amount import Amount, Concentration
from formulary.quantity.rounding import round_to_significant
from formulary.quantity.units import Dimension
from formulary.scaling.masses import mass_of_line, volume_of_line
from formulary.scaling.plan import Plan, PlannedLine
from formulary.scaling.strengths import Strength

WHOLE = Fraction(100)
LEAST_PERCENT = Fraction(90)
MOST_PERCENT = Fraction(110)
"""90 to 110 % of what is declared, the usual limit of United States compounding practice (USP <795>
as quoted by the University of North Carolina); a formula's or monograph's own limits come first."""


@dataclass(frozen=True, slots=True)
class StrengthLimits:
    """The least and most true strength in per cent of the declared one; both ends are inside."""

    least: Fraction = LEAST_PERCENT
    most: Fraction = MOST_PERCENT


USUAL_LIMITS = StrengthLimits()


@dataclass(frozen=True, slots=True)
class Precision:
    """How a balance or measure reads: its step, and its repeatability where it was measured."""

    readability: Amount
    repeatability: Amount | None = None

    @property
    def bound(self) -> Amount:
        """Return how far one net reading may be off."""
        if self.repeatability is None:
            return self.readability
        return self.readability + self.repeatability * 2


@dataclass(frozen=True, slots=True)
class TrueStrength:
    """An active's declared and true strength, in one unit.

    ``uncertainty`` is what the balances allow either way, in per cent of the true strength, None
    where a balance isn't known. ``complete`` says that no line is still to come.
    """

    position: int
    ingredient: str
    declared: Concentration | Amount
    true: Concentration | Amount
    uncertainty: Fraction | None
    complete: bool

    @property
    def percent(self) -> Fraction:
        """Return the true strength in per cent of the declared one."""
        return self.true.number / self.declared.number * WHOLE

    def inside(self, limits: StrengthLimits = USUAL_LIMITS) -> bool:
        """Whether it surely stays inside: not where a balance leaves open how sure it is."""
        if self.uncertainty is None:
            return False
        spread = self.percent * self.uncertainty / WHOLE
        return limits.least <= self.percent - spread and self.percent + spread <= limits.most

    @property
    def said(self) -> Message:
        """Return it in words and figures."""
        key = "unsure" if self.uncertainty is None else "complete" if self.complete else "so_far"
        return message(
            f"bench.strength.{key}",
            ingredient=self.ingredient,
            declared=self.declared,
            true=type(self.true)(round_to_significant(self.true.number), self.true.unit),
            percent=round_to_significant(self.percent),
            spread=round_to_significant(self.uncertainty or Fraction(0), 2),
        )


A_DROP = Precision(Amount(Fraction(1), "drop"))
"""A group of drops is right but for the one that hangs (ours, no source)."""


def precisions(house: House) -> dict[str, Precision]:
    """Return how the house's balances and measures read, by their names."""
    balances = {each.name: Precision(each.readability) for each in house.balances}
    return balances | {each.name: Precision(each.readability) for each in house.measures}


def true_strengths(
    plan: Plan, states: Sequence[LineState], reads: Mapping[str, Precision]
) -> tuple[TrueStrength, ...]:
    """Return the true strength of every active of a plan, by its lines' readings so far.

    The true strength is that of the plan x (content now / content planned) / (whole now / whole
    planned). A volume made up to a mark is the mark; dose units share their content out equally, so
    their number only grows where the batch is made good. Raises
    :class:`formulary.errors.Refusal` where a line's amount has to become a mass and can't.
    """
    whole = growth(plan, states)
    whole_spread = _whole_spread(plan, states, reads)
    complete = all(is_finished(each) for each in states)
    found = []
    for state, strength in _actives(plan, states):
        now = strength.actual.number * _content(state) / whole
        found.append(
            TrueStrength(
                state.position,
                state.ingredient,
                strength.declared,
                type(strength.actual)(now, strength.actual.unit),
                _added(_line_spread(state, reads), whole_spread),
                complete,
            )
        )
    return tuple(found)


def _actives(plan: Plan, states: Sequence[LineState]) -> Iterator[tuple[LineState, Strength]]:
    """Yield the actives' lines with the plan's strengths, which stand in the same order."""
    left = list(plan.strengths)
    for line, state in zip(plan.lines, states, strict=True):
        if line.line.role is not Role.ACTIVE:
            continue
        if left and left[0].ingredient == line.line.ingredient and state.declared is not None:
            yield state, left.pop(0)


def _content(state: LineState) -> Fraction:
    """Return content / planned content, at the end: what is missing is still to come."""
    now = share(state)
    if now is None:
        return state.raised
    return state.raised * (max(now, Fraction(1)) if _to_come(state) else now)


def _to_come(state: LineState) -> bool:
    """Whether more will be weighed: none or too little so far, and not accepted as it is."""
    short = standing(state) in (Standing.WAITING, Standing.UNDER)
    return short and not state.accepted_because


def _at_the_end(line: PlannedLine, state: LineState) -> Amount | None:
    """Return what will have been weighed of a line, None where nothing of it is known.

    Of one used as needed that is what went in.
    """
    so_far = weighed(state)
    if line.to_measure is None:
        return so_far if isinstance(line.line.quantity, ToEndPoint) else None
    if so_far is None:
        return line.to_measure * state.raised
    return so_far + remaining(state).result if _to_come(state) else so_far


def in_all(plan: Plan, states: Sequence[LineState]) -> Amount:
    """Return what the batch comes to by what was weighed and what is still to be weighed."""
    return plan.total * growth(plan, states)


def growth(plan: Plan, states: Sequence[LineState]) -> Fraction:
    """Return the whole as it will be / the whole as planned."""
    raised = max((each.raised for each in states), default=Fraction(1))
    kind = units.dimension(plan.total.unit)
    if kind is Dimension.PIECES or any(each.up_to for each in plan.lines):
        return raised
    total = plan.total
    for line, state in zip(plan.lines, states, strict=True):
        end, planned = _at_the_end(line, state), line.to_measure or line.required
        if end is None or end == planned:
            continue
        total += _as_whole(line.line, end, kind)
        if planned is not None:
            total -= _as_whole(line.line, planned, kind)
    return total / plan.total


def _as_whole(line: Line, amount: Amount, kind: Dimension) -> Amount:
    by_volume = kind is Dimension.VOLUME
    return (volume_of_line if by_volume else mass_of_line)(line, amount).result


def _spread(state: LineState, reads: Mapping[str, Precision]) -> Amount | None:
    """Return how far a line's readings may be off together, None where a balance isn't known."""
    total = Amount(Fraction(0), state.readings[0].amount.unit)
    for each in state.readings:
        read = A_DROP if each.amount.unit == A_DROP.readability.unit else reads.get(each.balance)
        if read is None or not _alike(read.bound, total):
            return None
        total += read.bound
    return total


def _alike(one: Amount, other: Amount) -> bool:
    return units.dimension(one.unit) == units.dimension(other.unit)


def _line_spread(state: LineState, reads: Mapping[str, Precision]) -> Fraction | None:
    """Return a line's bound in per cent of what was weighed of it; nothing before a reading."""
    so_far = weighed(state)
    if so_far is None or not so_far.number:
        return Fraction(0)
    spread = _spread(state, reads)
    return None if spread is None else spread / so_far * WHOLE


def _whole_spread(
    plan: Plan, states: Sequence[LineState], reads: Mapping[str, Precision]
) -> Fraction | None:
    """Return the bound of all masses together in per cent of a whole by mass."""
    if units.dimension(plan.total.unit) is not Dimension.MASS:
        return Fraction(0)
    total = Fraction(0)
    for line, state in zip(plan.lines, states, strict=True):
        if not state.readings:
            continue
        spread = _spread(state, reads)
        if spread is None or (spread.unit == "drop" and line.line.drop is None):
            return None
        total += _as_whole(line.line, spread, Dimension.MASS) / plan.total * WHOLE
    return total


def _added(one: Fraction | None, other: Fraction | None) -> Fraction | None:
    return None if one is None or other is None else one + other
