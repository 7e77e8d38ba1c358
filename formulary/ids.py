"""Program-made ids: time-ordered UUIDs (RFC 9562, version 7)."""

from __future__ import annotations

import os
import threading
import time
import uuid

_RANDOM_BITS = 74
_lock = threading.Lock()
_last = 0


def new_id() -> str:
    """Return a new UUIDv7 as text: 48 bits of Unix milliseconds, then 74 random bits.

    Each is greater than those before it in this program (RFC 9562, section 6.2, method 2), so
    that what is made within one millisecond keeps its order, too.
    """
    global _last  # noqa: PLW0603  the last one is the program's, not a caller's
    milliseconds = time.time_ns() // 1_000_000 & (1 << 48) - 1
    random = int.from_bytes(os.urandom(10), "big") & (1 << _RANDOM_BITS) - 1
    with _lock:
        _last = bare = max(milliseconds << _RANDOM_BITS | random, _last + 1)
    return str(uuid.UUID(int=_versioned(bare)))


def _versioned(bare: int) -> int:
    """Return 122 bits with version and variant put between them."""
    time_part, high, low = bare >> 74, bare >> 62 & 0xFFF, bare & (1 << 62) - 1
    return time_part << 80 | 0x7 << 76 | high << 64 | 0x2 << 62 | low
