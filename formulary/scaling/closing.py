"""The rest after rounding: what the other lines' readings leave falls on the closing lines."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from formulary.messages import message
from formulary.quantity.writing import convenient
from formulary.scaling.batch import Batch
from formulary.scaling.instruments import ToMeasure
from formulary.scaling.required import Need, rest_to, shared_out


def closing_need(
    batch: Batch, exact: Sequence[Need], read: Mapping[int, ToMeasure], position: int
) -> Need:
    """Return what a closing line needs once the other lines are rounded as they will be read.

    Masses still add up to the total, so the residue of every rounding falls here.
    """
    need, closing = exact[position], batch.whole.closing
    if need.up_to or need.amount is None:
        return need
    others = [
        (line, replace(exact[i], amount=read[i].amount or exact[i].amount))
        for i, line in enumerate(batch.content.lines)
        if i not in closing
    ]
    left = shared_out(rest_to(batch.make, others), len(closing)).amount
    if left is None or left == need.amount:
        return need
    residue = convenient(left - need.amount)
    step = message("scaling.step.residue", residue=residue, amount=left)
    return replace(need, amount=left, steps=(*need.steps, step))
