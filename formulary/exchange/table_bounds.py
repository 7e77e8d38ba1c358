"""How large a table may be: far above what a house has, far below what stops a computer."""

from __future__ import annotations

LARGEST_BYTES = 4 * 1024**2
LARGEST_UNPACKED = 16 * 1024**2
MOST_TIMES = 200
"""How many times larger than its file what it unpacks to may be."""
MOST_PARTS = 200
MOST_ROWS = 1000
MOST_COLUMNS = 100
