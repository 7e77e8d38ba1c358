"""Whether what was weighed lets a label declare the formula's strength."""

from __future__ import annotations

from formulary.bench.state import State
from formulary.bench.true_strength import StrengthLimits, TrueStrength, true_strengths
from formulary.messages import Message, message
from formulary.quantity.rounding import round_to_significant


def strength_outside(state: State) -> Message | None:
    """Return the sentence about the first active whose true strength is outside the limits.

    The limits are those of the job, by the figure itself: what the balances leave open is shown at
    the bench and decides nothing here.
    """
    job = state.job
    for each in true_strengths(job.plan, state.lines, job.reads):
        if not job.limits.least <= each.percent <= job.limits.most:
            return _said(each, job.limits)
    return None


def _said(found: TrueStrength, limits: StrengthLimits) -> Message:
    return message(
        "wording.strength_outside",
        ingredient=found.ingredient,
        declared=found.declared,
        true=type(found.true)(round_to_significant(found.true.number), found.true.unit),
        percent=round_to_significant(found.percent),
        least=limits.least,
        most=limits.most,
    )
