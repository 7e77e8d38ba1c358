"""Whether the lines add up, and what they add up to."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from fractions import Fraction

from formulary.errors import Refusal
from formulary.finding import Finding, Severity
from formulary.formula.content import Content
from formulary.messages import message
from formulary.quantity.amount import Amount
from formulary.quantity.units import Dimension
from formulary.scaling.batch import Batch
from formulary.scaling.making import in_kind_of_whole
from formulary.scaling.masses import mass_of_line
from formulary.scaling.required import Need
from formulary.scaling.whole import CLOSES_WITHIN_PERCENT, WHOLE_PERCENT


def mass_sum(content: Content, amounts: Sequence[Amount | None]) -> Amount | None:
    """Return the sum of the lines' masses in g, or None where one has no known mass."""
    total = Amount(Fraction(0), "g")
    try:
        for line, amount in zip(content.lines, amounts, strict=True):
            if amount is not None:
                total += mass_of_line(line, amount).result
    except Refusal:
        return None
    return total


def made(batch: Batch, exact: Sequence[Need], read: Sequence[Amount | None]) -> Amount:
    """Return what the readings make: the sum of masses, or the mark a solution is made up to."""
    for need, amount in zip(exact, read, strict=True):
        if need.up_to and amount is not None:
            return amount
    if batch.dimension != Dimension.MASS:
        return batch.make
    amounts = [each or need.amount for each, need in zip(read, exact, strict=True)]
    total = mass_sum(batch.content, amounts)
    return batch.make if total is None or not total.number else total.to(batch.make.unit)


def sum_findings(batch: Batch, exact: Sequence[Need]) -> tuple[Finding, ...]:
    """Return the findings on the sum: what should close and doesn't, what can't be checked."""
    if batch.dimension != Dimension.MASS:
        return ()
    total = mass_sum(batch.content, [need.amount for need in exact])
    if total is None:
        return (Finding(Severity.NOTE, message("scaling.finding.sum_unknown"), "lines"),)
    if batch.whole.closing:
        return _nothing_left(batch, exact)
    if abs(total / batch.make - 1) * WHOLE_PERCENT <= CLOSES_WITHIN_PERCENT:
        return ()
    sum_, make = total.to(batch.make.unit), batch.make
    said = message("scaling.finding.does_not_add_up", sum=sum_, total=make)
    return (Finding(Severity.STOP, said, "lines"),)


def _nothing_left(batch: Batch, exact: Sequence[Need]) -> tuple[Finding, ...]:
    return tuple(
        Finding(
            Severity.REASON,
            message("scaling.finding.nothing_left", ingredient=batch.content.lines[i].ingredient),
            f"lines.{i}",
        )
        for i in batch.whole.closing
        if (left := exact[i].amount) is not None and not left.number
    )


def batch_findings(batch: Batch) -> tuple[Finding, ...]:
    """Return a finding where the amount made is outside the sizes the method was proven for."""
    limits = batch.content.batch
    return (
        *_outside(batch, limits.smallest, "under_batch", lambda limit: batch.make < limit),
        *_outside(batch, limits.largest, "over_batch", lambda limit: batch.make > limit),
    )


def _outside(
    batch: Batch, limit: Amount | None, key: str, is_outside: Callable[[Amount], bool]
) -> tuple[Finding, ...]:
    if limit is None:
        return ()
    try:
        comparable = in_kind_of_whole(batch.content, batch.whole, limit).result
    except Refusal:
        said = message("scaling.finding.batch_limit_unknown", made=batch.make, limit=limit)
        return (Finding(Severity.NOTE, said, "target"),)
    if not is_outside(comparable):
        return ()
    said = message(f"scaling.finding.{key}", made=batch.make, limit=limit)
    return (Finding(Severity.REASON, said, "target"),)
