"""Program-made ids: time-ordered UUIDs (RFC 9562, version 7)."""

from __future__ import annotations

import os
import time
import uuid


def new_id() -> str:
    """Return a new UUIDv7 as text: 48 bits of Unix milliseconds, then 74 random bits."""
    milliseconds = time.time_ns() // 1_000_000
    random = int.from_bytes(os.urandom(10), "big")
    value = (milliseconds & (1 << 48) - 1) << 80 | random
    value = value & ~(0xF << 76) | 0x7 << 76
    value = value & ~(0x3 << 62) | 0x2 << 62
    return str(uuid.UUID(int=value))
