"""Order numbers: a running number within the year."""

from __future__ import annotations


def order_number(year: int, number: int) -> str:
    """Return ``ORD<yy>-<number>``, such as ``ORD26-0042``: no lot number looks like it."""
    return f"ORD{year % 100:02d}-{number:04d}"
