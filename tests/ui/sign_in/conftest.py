"""The window as the counter has it: open, and nobody signed in."""

from __future__ import annotations

from dataclasses import replace

import pytest

from ui.window import Window


@pytest.fixture
def counter(window: Window) -> Window:
    """Return the window with nobody signed in."""
    window.context.seat(replace(window.context.desk, signed_in=False))
    return window
