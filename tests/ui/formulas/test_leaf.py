"""The leaf keeps its measure at every width."""

from __future__ import annotations

import pytest
from PySide6.QtGui import QFontMetrics

from tests.ui.formulas.conftest import Find
from ui import theme
from ui.formulas.leaf import MEASURE
from ui.formulas.page import FormulasPage
from ui.window import Window


@pytest.mark.parametrize("width", [900, 1280, 1920, 3840])
def test_no_line_is_wider_than_the_measure_or_the_leaf(
    width: int, window: Window, page: FormulasPage, find: Find
) -> None:
    window.resize(width, 1000)
    find("hydrophilic cream, preserved")
    measure = QFontMetrics(theme.font(theme.Size.TEXT)).averageCharWidth() * MEASURE
    laid_out = page.leaf.document().size().width()
    assert laid_out <= min(measure, page.leaf.viewport().width()) + 1
