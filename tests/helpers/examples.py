"""How many examples a property gets that are costly: few every day, many before a release."""

from __future__ import annotations

import os

from hypothesis import settings

FULL = bool(os.environ.get("MISCE_FULL"))


def costly(few: int) -> settings:
    """Return settings with ``few`` examples in the everyday run, the profile's own in the full."""
    return settings() if FULL else settings(max_examples=few)
