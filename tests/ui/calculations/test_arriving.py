"""Coming to a calculation and into its fields: what is selected, in view, and meant."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QWidget

from tests.ui.calculations.keys import enter, go_to, row
from ui.calculations.page import CalculationsPage

Settle = Callable[[], None]
CONTROL = Qt.KeyboardModifier.ControlModifier
SHIFT = Qt.KeyboardModifier.ShiftModifier


def focused(page: CalculationsPage) -> QWidget:
    found = page.window().focusWidget()
    assert found is not None
    return found


def test_enter_from_the_search_selects_the_old_figure(page: CalculationsPage) -> None:
    go_to(page, "pycnometer")
    go_to(page, "dilution of a stock")
    enter(page, stock_strength="10 %")
    QTest.keyClick(focused(page), Qt.Key.Key_Escape)
    go_to(page, "dilution of a stock")
    QTest.keyClicks(focused(page), "5")
    assert row(page, "stock_strength").edit.text() == "5"


def test_enter_goes_to_the_next_figure_and_selects_it(page: CalculationsPage) -> None:
    go_to(page, "dilution of a stock")
    enter(page, stock_strength="10 %", target_strength="2 %")
    go_to(page, "dilution of a stock")
    QApplication.processEvents()
    QTest.keyClick(focused(page), Qt.Key.Key_Return)
    QTest.keyClicks(focused(page), "1")
    assert row(page, "target_strength").edit.text() == "1"


def test_after_the_unit_is_chosen_a_figure_replaces_the_old_one(page: CalculationsPage) -> None:
    go_to(page, "dilution of a stock")
    enter(page, target="250")
    target = row(page, "target")
    target.edit.line.setFocus()
    for key in (Qt.Key.Key_Return, Qt.Key.Key_Escape):
        QTest.keyClick(target.edit.line, Qt.Key.Key_F4)
        QTest.keyClick(target.unit.view(), key)
        QTest.keyClicks(focused(page), "1")
        assert target.edit.text() == "1"


def test_emptying_brings_back_the_unit_of_each_field(
    page: CalculationsPage, settle: Settle
) -> None:
    go_to(page, "dilution of ethanol")
    total = next(name for name in page.sheet.inputs.rows if name in ("total", "target", "volume"))
    first = row(page, total).unit.currentData()
    enter(page, **{total: "500 g"})
    settle()
    assert row(page, total).unit.currentData() == "g"
    QTest.keyClick(focused(page), Qt.Key.Key_Delete, CONTROL)
    assert first != "g"
    assert row(page, total).unit.currentData() == first


def test_enter_opens_what_the_words_find_first_though_another_is_open(
    page: CalculationsPage,
) -> None:
    page.take("osmolarity")
    page.index.search.setFocus()
    QTest.keyClicks(page.index.search, "electrolyte")
    first = page.index.titles()[0]
    QTest.keyClick(page.index.search, Qt.Key.Key_Return)
    assert page.sheet.title.text() == first
    assert "electrolyte" in first.casefold()


def test_keeping_is_asked_in_view_though_the_working_was_scrolled_to(
    page: CalculationsPage, settle: Settle
) -> None:
    page.window().resize(900, 420)
    go_to(page, "dilution of a stock")
    enter(page, stock_strength="10 %", target_strength="2 %", target="100 mL")
    settle()
    bar = page._leaf.verticalScrollBar()
    bar.setValue(bar.maximum())
    QTest.keyClick(page.sheet.view.working, Qt.Key.Key_K, CONTROL | SHIFT)
    QApplication.processEvents()
    subject = page.sheet.keeping.subject
    assert subject.hasFocus()
    assert not subject.visibleRegion().isEmpty()


def test_tab_goes_from_the_last_field_to_the_buttons_below(page: CalculationsPage) -> None:
    go_to(page, "body-surface-area")
    QApplication.processEvents()
    last = list(page.sheet.inputs.rows.values())[-1]
    last.setFocus()
    passed = []
    for _ in range(2):
        QTest.keyClick(focused(page), Qt.Key.Key_Tab)
        passed.append(focused(page).accessibleName())
    assert passed == [page.sheet.example.text(), page.sheet.empty.text()]


def test_what_was_said_of_no_working_goes_when_there_is_one(
    page: CalculationsPage, settle: Settle
) -> None:
    go_to(page, "dilution of a stock")
    page.copy.trigger()
    gone = []
    page._context.say.outdated.connect(lambda: gone.append(True))
    enter(page, stock_strength="10 %", target_strength="2 %", target="100 mL")
    settle()
    assert gone
