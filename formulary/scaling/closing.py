"""The rest after rounding: what the other lines' readings leave falls on the closing lines."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction

from formulary.formula.content import Content
from formulary.messages import message
from formulary.quantity.amount import Amount
from formulary.scaling.instruments import ToMeasure
from formulary.scaling.required import Need, rest_to
from formulary.scaling.whole import Whole


def closing_need(
    content: Content,
    whole: Whole,
    make: Amount,
    exact: Sequence[Need],
    read: dict[int, ToMeasure],
    position: int,
) -> Need:
    """Return what a closing line needs once the other lines are rounded as they will be read.

    Masses still add up to the total, so the residue of every rounding falls here.
    """
    need = exact[position]
    if need.up_to or need.amount is None:
        return need
    others = [
        (line, replace(exact[i], amount=read[i].amount or exact[i].amount))
        for i, line in enumerate(content.lines)
        if i not in whole.closing
    ]
    left = rest_to(make, others).amount_left * Fraction(1, len(whole.closing))
    if left == need.amount:
        return need
    step = message("scaling.step.residue", residue=left - need.amount, amount=left)
    return replace(need, amount=left, steps=(*need.steps, step))
