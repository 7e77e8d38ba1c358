"""Keeping a calculation with what it was done for, and finding it there again."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from formulary.desk import Desk
from formulary.kept_calculation import KeptCalculation
from tests.helpers.kept import a_kept_calculation
from tests.ui.calculations.keys import enter, go_to, row
from ui.calculations.page import CalculationsPage
from ui.calculations.units import given_again
from ui.context import Context
from ui.messages import Tone

Settle = Callable[[], None]
CONTROL = Qt.KeyboardModifier.ControlModifier
SHIFT = Qt.KeyboardModifier.ShiftModifier


@pytest.fixture
def asked(page: CalculationsPage, settle: Settle) -> CalculationsPage:
    """Return the page with a dilution done and the question with what it is kept."""
    go_to(page, "dilution of a stock")
    enter(page, stock_strength="10 %", target_strength="2 %", target="100 mL")
    settle()
    QTest.keyClick(page.sheet.inputs, Qt.Key.Key_K, CONTROL | SHIFT)
    return page


def kept(desk: Desk) -> list[KeptCalculation]:
    return list(desk.store.every(KeptCalculation))


def answer(page: CalculationsPage, subject: str, note: str = "") -> None:
    QTest.keyClicks(page.sheet.keeping.subject, subject)
    QTest.keyClicks(page.sheet.keeping.note, note)
    QTest.keyClick(page.sheet.keeping.note, Qt.Key.Key_Return)


def test_a_calculation_is_kept_with_a_formula_by_its_code(
    asked: CalculationsPage, desk: Desk, context: Context, settle: Settle
) -> None:
    formula_id = desk.store.find_formulas("")[0].formula_id
    code = desk.store.find_formulas("")[0].code
    answer(asked, code, "for the ward")
    settle()
    (found,) = kept(desk)
    assert (found.subject_id, found.note) == (formula_id, "for the ward")
    assert dict(found.given)["target"] == "100 mL"
    assert context.say.history[-1].tone is Tone.NEWS
    assert not asked.sheet.keeping.isVisible()


def test_what_is_not_found_is_said_beside_the_field(
    asked: CalculationsPage, desk: Desk, settle: Settle
) -> None:
    answer(asked, "zeppelin")
    settle()
    assert kept(desk) == []
    assert asked.sheet.keeping.refusal.isVisible()


def test_escape_keeps_nothing_and_goes_back_to_the_figures(
    asked: CalculationsPage, desk: Desk, settle: Settle
) -> None:
    QTest.keyClick(asked.sheet.keeping.subject, Qt.Key.Key_Escape)
    settle()
    assert kept(desk) == []
    assert not asked.sheet.keeping.isVisible()
    assert row(asked, "stock_strength").isAncestorOf(asked.window().focusWidget())


def test_without_an_answer_there_is_nothing_to_keep(page: CalculationsPage, settle: Settle) -> None:
    go_to(page, "dilution of a stock")
    QTest.keyClick(page.sheet.inputs, Qt.Key.Key_K, CONTROL | SHIFT)
    settle()
    assert not page.sheet.keeping.isVisible()


def test_one_that_was_kept_is_opened_with_its_figures(
    asked: CalculationsPage, desk: Desk, settle: Settle
) -> None:
    answer(asked, desk.store.find_formulas("")[0].code)
    settle()
    enter(asked, target="50 mL")
    asked.take(kept(desk)[0])
    settle()
    assert row(asked, "target").typed() == "100 mL"


def test_figures_kept_with_another_decimal_sign_are_typed_with_today_s() -> None:
    kept = replace(
        a_kept_calculation(),
        decimal_sign=",",
        given=(("mass", "0,5 g; 1,25 g"), ("substance", "C6H8O7.H2O")),
    )
    assert given_again(kept, ".") == {"mass": "0.5 g; 1.25 g", "substance": "C6H8O7.H2O"}
    assert given_again(kept, ",") == dict(kept.given)
