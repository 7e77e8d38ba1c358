"""What a mixture made beside takes of the lot at hand, so that its part holds what was declared."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from formulary.messages import Message, message
from formulary.quantity.amount import Amount
from formulary.quantity.rounding import round_to_significant
from formulary.quantity.writing import convenient
from formulary.scaling.plan import PlannedLine
from formulary.scaling.sub_plan import Way

SHOWN_DIGITS = 6


@dataclass(frozen=True, slots=True)
class Mixture:
    """What goes into a mixture of one lot: ``made_with`` is all of the diluent, or the volume.

    ``steps`` say how it differs from the plan, and nothing where the lot counts as planned.
    """

    taken: Amount
    made_with: Amount
    steps: tuple[Message, ...] = ()


def planned_factor(planned: PlannedLine) -> Fraction:
    """Return what the planned lot weighs for one of what is declared."""
    return Fraction(1) if planned.correction is None else planned.correction.factor


def mixture_of(planned: PlannedLine, factor: Fraction | None = None) -> Mixture | None:
    """Return what a line's mixture takes of a lot with this factor, None where it has no mixture.

    The whole stays as large as planned, so that the same part of it is taken: of a weaker lot more
    goes in, and as much less of a diluent that is weighed; a volume is made up to its mark all the
    same. Without a ``factor`` it is the plan's lot.
    """
    plan, usual = planned.sub_plan, planned_factor(planned)
    if plan is None or plan.taken is None or plan.made_with is None:
        return None
    if factor is None or factor == usual:
        return Mixture(plan.taken, plan.made_with)
    taken = convenient(plan.taken * (factor / usual))
    made_with = plan.made_with
    if plan.way is not Way.STOCK_SOLUTION:
        made_with = convenient(plan.made_with + plan.taken - taken)
    step = message(
        "bench.mixture.by_lot",
        planned=plan.taken,
        factor=round_to_significant(factor, SHOWN_DIGITS),
        usual=round_to_significant(usual, SHOWN_DIGITS),
        taken=_shown(taken),
        made_with=_shown(made_with),
    )
    return Mixture(taken, made_with, (step,))


def _shown(amount: Amount) -> Amount:
    return Amount(round_to_significant(amount.number, SHOWN_DIGITS), amount.unit)
