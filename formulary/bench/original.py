"""What the paper says of an entry that was written there first: when it was done, and by whom."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import TypedDict


@dataclass(frozen=True, slots=True)
class Original:
    """The time and the person on the paper, beside those of whoever enters it later."""

    at: datetime
    person_id: str
    person: str


class OnPaper(TypedDict, total=False):
    """What backs an act that was done on paper first; nothing for one that is done now."""

    original: Original
