"""A calculation as it is said to people, to be put on paper."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Sum:
    """A calculation as it is said to people: names beside values, and lines.

    ``kept_with`` says with what it was kept, "" for nothing. ``cautions`` are sentences that are
    part of the answer, ``notes`` where it comes from and how far it holds.
    """

    title: str
    given: Sequence[tuple[str, str]]
    results: Sequence[tuple[str, str]]
    working: Sequence[str]
    cautions: Sequence[str]
    notes: Sequence[str]
    kept_with: str = ""
