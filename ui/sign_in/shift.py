"""Working alone is an exemption for one act in one shift: its reason is offered again, not assumed.

Each act is confirmed with its reason and PIN of its own and stands on the record so. A reason given
before is offered for the next act of the same person until the day is over.
"""

from __future__ import annotations

from datetime import date


class Shift:
    """The reasons that people gave today for working alone; in memory only."""

    def __init__(self) -> None:
        self._day: date | None = None
        self._reasons: dict[str, str] = {}

    def remember(self, day: date, person_id: str, reason: str) -> None:
        """Keep a reason until the day is over."""
        self._begin(day)
        if reason:
            self._reasons[person_id] = reason

    def reasons(self, day: date) -> dict[str, str]:
        """Return today's reasons by the ids of those who gave them."""
        self._begin(day)
        return dict(self._reasons)

    def _begin(self, day: date) -> None:
        if day != self._day:
            self._day, self._reasons = day, {}
