"""Complaints and reactions: what was told about a jar, what was decided, and who was told back.

What a complaint says names nobody: whose jar it was is found by the hand-over. A jar that
"looks different" is a signal of its own and comes first: a different look or taste was noticed
before several fatal mix-ups were understood.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import datetime
from enum import StrEnum

from formulary.errors import BadText, Refusal
from formulary.messages import message
from formulary.signing import Meaning, Signature


class Nature(StrEnum):
    """What it is about, the most urgent first."""

    REACTION = "reaction"
    LOOKS_DIFFERENT = "looks different"
    COMPLAINT = "complaint"


class Teller(StrEnum):
    """Who told it; never a name."""

    PATIENT = "patient"
    CARER = "carer"
    PRESCRIBER = "prescriber"
    WARD = "ward"
    STAFF = "staff"


@dataclass(frozen=True, slots=True)
class Complaint:
    """One complaint about a preparation, or about one of its jars (``jar`` 0: not known which).

    ``at`` is when it was told. ``what`` names no patient. ``feedback`` is who was told what of the
    decision.
    """

    id: str
    preparation_id: str
    at: datetime
    told_by: Teller
    nature: Nature
    what: str
    entered_by: str
    jar: int = 0
    decision: str = ""
    feedback: str = ""
    decided: Signature | None = None
    revision: int = 0

    @property
    def is_open(self) -> bool:
        """Whether nobody has decided it."""
        return self.decided is None

    @property
    def is_urgent(self) -> bool:
        """Whether it waits for a decision and somebody may be harmed meanwhile."""
        return self.is_open and self.nature is not Nature.COMPLAINT


def require_sayable(complaint: Complaint, names: Iterable[str], jars: Iterable[int]) -> None:
    """Raise :class:`formulary.errors.BadText` for an empty text, a name in it, or no such jar.

    ``names`` are those of the patients and prescribers of the preparation, ``jars`` the numbers of
    those that were filled.
    """
    if not complaint.what.strip():
        raise BadText(message("register.complaint.empty"), field="what")
    words = set(_words(complaint.what))
    if any(words & set(_words(name)) for name in names):
        raise BadText(message("register.complaint.named"), field="what")
    if complaint.jar and complaint.jar not in set(jars):
        raise BadText(message("register.complaint.no_jar", number=complaint.jar), field="jar")


def decide(complaint: Complaint, signature: Signature, decision: str, feedback: str) -> Complaint:
    """Return the complaint decided. Refused where it is decided already, or nothing is said."""
    if not complaint.is_open:
        raise Refusal(message("register.complaint.decided"))
    if signature.meaning is not Meaning.DECIDED:
        raise ValueError("a complaint is settled by a signed decision")
    if not decision.strip():
        raise BadText(message("register.complaint.no_decision"), field="decision")
    return replace(
        complaint, decided=signature, decision=decision.strip(), feedback=feedback.strip()
    )


def may_become(record: Complaint, stored: Complaint) -> bool:
    """Return whether nothing but an open complaint's decision is added."""
    same = replace(
        record,
        decision=stored.decision,
        feedback=stored.feedback,
        decided=stored.decided,
    )
    return stored.is_open and same == stored


_LEAST_NAME = 3
"""Letters: shorter parts of a name ("de", "I.") are words of any sentence."""


def _words(text: str) -> list[str]:
    """Return the words as they are written: a cream turned green is no Mrs Green."""
    split = "".join(sign if sign.isalpha() else " " for sign in text).split()
    return [each for each in split if len(each) >= _LEAST_NAME]
