"""What the paper says of an entry that was written there first: when it was done, and by whom."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime


@dataclass(frozen=True, slots=True)
class Original:
    """The time and the person on the paper, beside those of whoever enters it later."""

    at: datetime
    person_id: str
    person: str
