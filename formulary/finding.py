"""A doubt as data: how serious, what it says, where it belongs, and who says so."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from formulary.messages import Message


class Severity(StrEnum):
    """How loud a finding is: a stop can't be passed, a reason passes an expert, a note informs."""

    STOP = "stop"
    REASON = "needs a reason"
    NOTE = "note"


@dataclass(frozen=True, slots=True)
class Finding:
    """One finding; ``field`` is the place to go to, ``source`` the rule's citation, if any.

    ``rule`` is the name of the review's rule that found it; a plan's own findings have none.
    """

    severity: Severity
    said: Message
    field: str = ""
    source: Message | None = None
    rule: str = ""
