"""The rest after rounding: what the other lines' readings leave falls on the closing lines."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from fractions import Fraction

from formulary.messages import message
from formulary.quantity.amount import Amount
from formulary.quantity.writing import convenient
from formulary.scaling.batch import Batch
from formulary.scaling.instruments import ToMeasure
from formulary.scaling.required import Need, sum_for


def closing_need(
    batch: Batch, exact: Sequence[Need], read: Mapping[int, ToMeasure], position: int
) -> Need:
    """Return what a closing line needs once the other lines are rounded as they will be read.

    Masses still add up to the total, so the residue of every rounding falls here.
    """
    need, closing = exact[position], batch.whole.closing
    if need.up_to or need.amount is None or not need.amount.number:
        return need
    others = [
        (line, replace(exact[i], amount=read[i].holds or exact[i].amount))
        for i, line in enumerate(batch.content.lines)
        if i not in closing
    ]
    used, _ = sum_for(batch.make, others)
    # Nothing is taken out again where the others, rounded up, are a trace over the total.
    rest = max(batch.make - used, Amount(Fraction(0), batch.make.unit))
    left = convenient(rest * Fraction(1, len(closing)))
    if left == need.amount:
        return need
    residue = convenient(left - need.amount)
    step = message("scaling.step.residue", residue=residue, amount=left)
    return replace(need, amount=left, steps=(*need.steps, step))
