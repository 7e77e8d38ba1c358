"""The lot at hand, typed beside its line by the keyboard alone."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from tests.ui.formulas.conftest import Find, focused, press
from ui.formulas.page import FormulasPage


@pytest.fixture
def open_lot(page: FormulasPage, find: Find, settle: Callable[[], None]) -> None:
    """Scale the urea cream to 180 g and press F3 on its first line."""
    find("urea")
    page.panel.focus_target()
    QTest.keyClicks(page.panel.target.line, "180 g")
    settle()
    page.panel.table.go_to(0)
    press(Qt.Key.Key_F3)


def urea(page: FormulasPage) -> str:
    return page.panel.table.rows[0].figure.text().replace("\N{NO-BREAK SPACE}", " ")


@pytest.mark.usefixtures("open_lot")
def test_f3_opens_the_lot_of_the_line(page: FormulasPage) -> None:
    assert page.panel.lot.isVisible()
    assert focused() is page.panel.lot.figures["assay"]
    assert "Urea" in page.panel.lot.heading.text()
    assert all(edit.accessibleName() for edit in page.panel.lot.figures.values())


@pytest.mark.usefixtures("open_lot")
def test_what_is_weighed_follows_and_what_is_declared_stays(
    page: FormulasPage, settle: Callable[[], None]
) -> None:
    assert urea(page) == "18 g"
    QTest.keyClicks(focused(), "80")
    settle()
    assert urea(page) == "22.5 g"
    assert "10 % w/w declared" in page.panel.strengths.text().replace("\N{NO-BREAK SPACE}", " ")
    press(Qt.Key.Key_Return)
    assert not page.panel.lot.isVisible()
    assert focused() is page.panel.table
    assert page.panel.order().choices.lots[0].assay == 80


@pytest.mark.usefixtures("open_lot")
def test_a_figure_that_can_not_be_is_told_and_nothing_is_scaled(
    page: FormulasPage, settle: Callable[[], None]
) -> None:
    QTest.keyClicks(focused(), "800")
    settle()
    assert "800" in page.panel.lot.note.text()
    assert page.panel.table.rows == ()
    press(Qt.Key.Key_F3)
    assert page.panel.lot.isVisible()


@pytest.mark.usefixtures("open_lot")
def test_left_empty_nothing_is_corrected(page: FormulasPage, settle: Callable[[], None]) -> None:
    QTest.keyClicks(focused(), "8")
    press(Qt.Key.Key_Backspace)
    settle()
    assert urea(page) == "18 g"
    assert page.panel.order().choices.lots == {}


@pytest.mark.usefixtures("open_lot")
def test_another_formula_has_no_lot_of_this_one(
    page: FormulasPage, find: Find, settle: Callable[[], None]
) -> None:
    QTest.keyClicks(focused(), "80")
    settle()
    find("zinc")
    assert page.panel.order().choices.lots == {}
