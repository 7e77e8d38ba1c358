"""An open draft: what an editor holds before it is confirmed, so that a crash loses nothing."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime


@dataclass(frozen=True, slots=True)
class Draft:
    """The fields of one open editor as typed, in ``fields`` (JSON), for the version it began from.

    ``id`` is the formula's id (a fresh one for a new formula).
    """

    id: str
    person_id: str
    based_on: str
    fields: str
    kept_at: datetime
    revision: int = 0
