"""The fixtures of single pages, and the page of calculations in view."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from PySide6.QtCore import QSettings
from PySide6.QtWidgets import QWidget

from tests.ui.at_desk import context, desk, furnished, settle, show
from ui.calculations.page import CalculationsPage
from ui.context import Context

__all__ = ["context", "desk", "furnished", "page", "settle", "show"]


@pytest.fixture
def page(context: Context, show: Callable[[QWidget], None]) -> CalculationsPage:
    """Return the page in view, nothing used yet."""
    QSettings().remove("calculations")
    made = CalculationsPage(context)
    show(made)
    return made
