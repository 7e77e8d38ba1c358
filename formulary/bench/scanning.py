"""Telling a scanner from a hand: by the time between any two characters, and before Enter."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

USUAL_GAP_MS = 20
"""The longest time between two characters of a scanner (our default, no source).

A scanner that works as a keyboard needs two reports for a character, and a slow one may be asked
every 10 ms (USB 2.0, 5.7.4, from memory). Fast typists need about 120 ms on average, and no hand
keeps below 20 ms for a whole number and its Enter.
"""
FEWEST = 4
"""Shorter texts come in too few steps to tell."""


def is_scanned(moments_ms: Sequence[int], most_gap_ms: int = USUAL_GAP_MS) -> bool:
    """Tell whether characters came from a scanner, the last moment being that of Enter.

    One slow step is enough to call them typed, so a doubt marks the container as typed.
    """
    gaps = [after - before for before, after in pairwise(moments_ms)]
    return len(gaps) >= FEWEST and all(0 <= gap <= most_gap_ms for gap in gaps)
