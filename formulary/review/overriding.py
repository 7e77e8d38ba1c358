"""A finding that needed a reason, and the pharmacist's reason with the signature under it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date

from formulary.errors import Forbidden, Refusal
from formulary.finding import Finding, Severity
from formulary.formula.content import Period, Span
from formulary.messages import Message, message
from formulary.people import Post
from formulary.signing import Signature
from formulary.use_by import last_day


@dataclass(frozen=True, slots=True)
class Overriding:
    """Why a finding of a version may stand: by its rule and field, with its words as they were."""

    id: str
    version_id: str
    rule: str
    field: str
    said: Message
    reason: str
    signature: Signature
    revision: int = 0

    def is_of(self, finding: Finding) -> bool:
        """Tell whether it was given for this finding."""
        return (self.rule, self.field) == (finding.rule, finding.field)

    def lasts_until(self, months: int) -> date | None:
        """Return the last day on which it holds; a house without reviews keeps it."""
        if months < 1:
            return None
        given = self.signature.at.date()
        return last_day(given, Period(months, Span.MONTHS)).result


def require_overridable(finding: Finding, reason: str, signature: Signature) -> None:
    """Raise unless this reason lets this finding stand.

    :class:`formulary.errors.Refusal` for a stop, a note and an empty reason,
    :class:`formulary.errors.Forbidden` unless a pharmacist signs.
    """
    if finding.severity is not Severity.REASON:
        raise Refusal(message("review.not_overridable", sentence=finding.said))
    if not reason.strip():
        raise Refusal(message("review.reason_needed", sentence=finding.said))
    if signature.post != Post.PHARMACIST.value:
        raise Forbidden(message("review.pharmacist_decides", person=signature.person))


def holding(overridings: Iterable[Overriding], months: int, today: date) -> tuple[Overriding, ...]:
    """Return those that still hold; an older one is to be looked at again."""
    ends = ((each, each.lasts_until(months)) for each in overridings)
    return tuple(each for each, until in ends if until is None or today <= until)


def unanswered(findings: Iterable[Finding], holding: Sequence[Overriding]) -> tuple[Finding, ...]:
    """Return the findings that need a reason and have none that holds."""
    return tuple(
        each
        for each in findings
        if each.severity is Severity.REASON and not any(one.is_of(each) for one in holding)
    )
