"""What stands on every paper: by whom and when it was printed, and where the chain ended then."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from formulary.desk import Desk
from formulary.labels.page import Origin
from formulary.papers.words import Words

_SHOWN = 16
"""Digits of a hash that are printed: enough to find the entry and to tell it from any other."""


@dataclass(frozen=True, slots=True)
class Printed:
    """When and by whom, and the number and hash of the history's last entry at that moment."""

    at: datetime
    by: str = ""
    entry: int = 0
    hash: str = ""

    def foot(self, words: Words) -> str:
        """Return what stands at the foot of each page."""
        by = self.by or words("nobody")
        return words("foot", at=self.at, by=by, n=self.entry, hash=self.hash[:_SHOWN])


def made_here(desk: Desk) -> Origin:
    """Return what the properties of a file written at this desk now say of it."""
    return Origin(desk.house.name, desk.act().at)


def printed_now(desk: Desk) -> Printed:
    """Return what is true of a paper printed at this desk now."""
    last = desk.store.last_entry()
    by = desk.person.name if desk.signed_in else ""
    number, hashed = (last.number, last.hash) if last is not None else (0, "")
    return Printed(desk.act().at, by, number, hashed)
