"""F1 explains the calculation in view, from its own description."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from tests.ui.at_desk import page_key, plain
from ui.calculations.entries import TABLES
from ui.context import PageName
from ui.window import Window


@pytest.fixture
def calculations(window: Window) -> Window:
    key = page_key(PageName.CALCULATIONS)
    QTest.keyClick(window, key, Qt.KeyboardModifier.ControlModifier)
    return window


def helped(window: Window) -> str:
    QTest.keyClick(window, Qt.Key.Key_F1)
    assert window._help is not None
    assert window._help.isVisible()
    return plain(window._help.text.toPlainText())


def test_f1_explains_the_calculation_in_view(calculations: Window) -> None:
    calculations.page("calculations").take("ethanol-dilution")
    said = helped(calculations)
    assert said.startswith("Dilution of ethanol\n")
    for words in (
        "Strength wanted (target_strength): strength; in % v/v",
        "from \N{MINUS SIGN}20 °C to 40 °C; may be left out, then 20 °C",
        "OIML R 22",
        "Ethanol is highly flammable.",
        'misce calculate ethanol-dilution stock_strength="96 % v/v"',
    ):
        assert words in said


def test_the_pages_own_help_follows(calculations: Window) -> None:
    calculations.page("calculations").take("dilution")
    said = helped(calculations)
    assert said.index("Dilution of a stock") < said.index("How do I find one?")


def test_another_calculation_has_help_of_its_own(calculations: Window) -> None:
    for name, title in (("dilution", "Dilution of a stock"), ("pycnometer", "Pycnometer")):
        calculations.page("calculations").take(name)
        assert title in helped(calculations).splitlines()[0]


def test_the_tables_have_the_pages_help_alone(calculations: Window) -> None:
    calculations.page("calculations").take(TABLES)
    assert helped(calculations).startswith("Calculations\n")
