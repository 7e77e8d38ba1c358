"""Whether the lines add up, and what they add up to."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from formulary.errors import Refusal
from formulary.finding import Finding, Severity
from formulary.formula.content import Content
from formulary.messages import message
from formulary.quantity import units
from formulary.quantity.amount import Amount
from formulary.quantity.units import Dimension
from formulary.scaling.masses import mass_of_line
from formulary.scaling.required import Need
from formulary.scaling.whole import CLOSES_WITHIN_PERCENT, Whole


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


def made(
    content: Content, make: Amount, exact: Sequence[Need], read: Sequence[Amount | None]
) -> Amount:
    """Return what the readings make: the sum of masses, or the mark a solution is made up to."""
    for need, amount in zip(exact, read, strict=True):
        if need.up_to and amount is not None:
            return amount
    if units.dimension(make.unit) != Dimension.MASS:
        return make
    amounts = [each or need.amount for each, need in zip(read, exact, strict=True)]
    total = mass_sum(content, amounts)
    return make if total is None or not total.number else total.to(make.unit)


def sum_findings(
    content: Content, whole: Whole, make: Amount, exact: Sequence[Need]
) -> tuple[Finding, ...]:
    """Return the findings on the sum: what should close and doesn't, what can't be checked."""
    if units.dimension(make.unit) != Dimension.MASS:
        return ()
    total = mass_sum(content, [need.amount for need in exact])
    if total is None:
        return (_finding(Severity.NOTE, "sum_unknown"),)
    if whole.closing:
        return _nothing_left(content, whole, exact)
    difference = abs(total / make - 1) * 100
    if difference <= CLOSES_WITHIN_PERCENT:
        return ()
    said = message("scaling.finding.does_not_add_up", sum=total.to(make.unit), total=make)
    return (Finding(Severity.STOP, said, "lines"),)


def _nothing_left(
    content: Content, whole: Whole, exact: Sequence[Need]
) -> tuple[Finding, ...]:
    empty = [i for i in whole.closing if (left := exact[i].amount) is not None and not left.number]
    return tuple(
        Finding(
            Severity.REASON,
            message("scaling.finding.nothing_left", ingredient=content.lines[i].ingredient),
            f"lines.{i}",
        )
        for i in empty
    )


def _finding(severity: Severity, key: str) -> Finding:
    return Finding(severity, message(f"scaling.finding.{key}"), "lines")


def batch_findings(content: Content, make: Amount) -> tuple[Finding, ...]:
    """Return a finding where the amount made is outside the sizes the method was proven for."""
    limits = content.batch
    found = []
    if limits.smallest is not None and _comparable(limits.smallest, make):
        if make < limits.smallest:
            found.append(_outside("under_batch", make, limits.smallest))
    if limits.largest is not None and _comparable(limits.largest, make):
        if make > limits.largest:
            found.append(_outside("over_batch", make, limits.largest))
    return tuple(found)


def _comparable(one: Amount, other: Amount) -> bool:
    return units.dimension(one.unit) == units.dimension(other.unit)


def _outside(key: str, make: Amount, limit: Amount) -> Finding:
    said = message(f"scaling.finding.{key}", made=make, limit=limit)
    return Finding(Severity.REASON, said, "target")
