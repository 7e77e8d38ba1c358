"""Whether a formula as written adds up, checked as one types."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from formulary.errors import Refusal
from formulary.finding import Finding, Severity
from formulary.formula.content import Content
from formulary.quantity.amount import Amount
from formulary.scaling.batch import Batch
from formulary.scaling.required import needs
from formulary.scaling.sums import mass_sum, sum_findings
from formulary.scaling.whole import whole_as_written

HUNDRED_GRAMS = Amount(Fraction(100), "g")


@dataclass(frozen=True, slots=True)
class BalanceSheet:
    """The total, the amount each line has in it, and what is wrong with the sum, if anything.

    ``sum`` is of masses, in g; None where they can't be known or a line is made up to a mark.
    """

    total: Amount | None
    sum: Amount | None
    lines: tuple[Amount | None, ...]
    findings: tuple[Finding, ...]

    @property
    def closes(self) -> bool:
        """Tell whether nothing keeps the formula from closing."""
        return not any(each.severity is Severity.STOP for each in self.findings)


def balance_sheet(content: Content) -> BalanceSheet:
    """Return the sums of the formula as written; what can't be worked out is a stop finding."""
    try:
        whole = whole_as_written(content)
        batch = Batch(content, whole, whole.amount or HUNDRED_GRAMS)
        exact = needs(batch)
        findings = sum_findings(batch, exact)
    except Refusal as refusal:
        stop = Finding(Severity.STOP, refusal.message, "lines")
        return BalanceSheet(None, None, (), (stop,))
    amounts = tuple(need.amount for need in exact)
    # A line made up to a mark has no amount of its own, so that masses make no sum there.
    to_mark = any(need.up_to for need in exact)
    total = None if to_mark else mass_sum(content, amounts)
    return BalanceSheet(whole.amount, total, amounts, findings)
