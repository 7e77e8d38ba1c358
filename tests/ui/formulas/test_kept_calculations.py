"""A calculation kept with a formula stands on its leaf, and opens again from there."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QUrl
from pytestqt.qtbot import QtBot

from formulary.desk import Desk
from formulary.kept_calculation import KeptCalculation
from formulary.verbs.keep_calculation import keep_calculation
from tests.ui.at_desk import plain
from ui.context import PageName, Topic
from ui.formulas.page import FormulasPage
from ui.window import Window

GIVEN = {"stock_strength": "10 %", "target_strength": "2 %", "target": "100 mL"}


def test_the_leaf_shows_it_with_its_figure_and_a_link(
    window: Window, page: FormulasPage, settle: Callable[[], None], qtbot: QtBot
) -> None:
    kept: list[KeptCalculation] = []

    def keep(desk: Desk) -> KeptCalculation:
        return keep_calculation(desk, "dilution", GIVEN, "CR-003", "for the ward")

    window.context.do(keep, kept.append, changes=(Topic.CALCULATIONS,))
    settle()
    page.show_formula(kept[0].subject_id)
    settle()
    said = plain(page.leaf.toPlainText())
    assert "Dilution of a stock: Stock to take 20 mL (kept by Ilse Corrander" in said
    assert "): for the ward" in said
    with qtbot.waitSignal(window.context.page_wanted) as wanted:
        page.leaf.anchorClicked.emit(QUrl(f"calculation:{kept[0].id}"))
    assert wanted.args == [PageName.CALCULATIONS.value, kept[0]]
