"""An act: who did it, as what, where, when and why. Every write happens under one."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime


@dataclass(frozen=True, slots=True)
class Act:
    """Who acts: ``at`` is aware, in the house's zone, so that it holds UTC and the local offset."""

    person_id: str
    person: str
    role: str
    workstation: str
    at: datetime
    reason: str = ""

    def __post_init__(self) -> None:
        if self.at.tzinfo is None:
            raise ValueError("an act's time needs its offset")
