"""The look of the window, and what no test holds any more collected on its thread."""

from __future__ import annotations

import pytest
from PySide6.QtWidgets import QApplication

from tests.ui.conftest import garbage
from ui import theme

__all__ = ["garbage"]


@pytest.fixture(autouse=True)
def look(qapp: QApplication) -> None:
    """Put the window's look in force."""
    theme.apply(qapp, type_factor=1.0, dark=False)
