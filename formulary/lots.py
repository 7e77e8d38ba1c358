"""Lot numbers: the house's prefix, the year's last two digits and a running number."""

from __future__ import annotations

LONGEST = 14


def lot_number(prefix: str, year: int, number: int) -> str:
    """Return ``<prefix><yy>-<number>``, such as ``K26-00042``: short enough for any label.

    The digits never read as a date. Raises ValueError beyond 14 characters, which no prefix of at
    most 4 characters reaches before ten million preparations in a year.
    """
    lot = f"{prefix}{year % 100:02d}-{number:05d}"
    if len(lot) > LONGEST:
        raise ValueError(f"lot number {lot} is longer than {LONGEST} characters")
    return lot
