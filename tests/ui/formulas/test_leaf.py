"""The leaf keeps its measure at every width."""

from __future__ import annotations

import re
from collections.abc import Callable

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QFontMetrics
from PySide6.QtTest import QTest

from tests.ui.formulas.conftest import Find, focused, press
from ui import theme
from ui.formulas.leaf import MEASURE, Leaf
from ui.formulas.page import FormulasPage
from ui.window import Window


def test_the_leaf_of_a_draft_says_only_what_was_written(
    page: FormulasPage, settle: Callable[[], None]
) -> None:
    page.search.setFocus()
    press(Qt.Key.Key_N, Qt.KeyboardModifier.ControlModifier)
    settle()
    assert page.session is not None
    for place, text in (("title", "Lost cream"), ("ingredient.0.name", "Zinc oxide")):
        page.session.editor.go_to(place)
        QTest.keyClicks(focused(), text)
    press(Qt.Key.Key_Escape)
    settle()
    settle()
    text = page.leaf.toPlainText()
    assert text.startswith("Lost cream\ndraft, unconfirmed\n")
    assert "Zinc oxide" in text
    for never_written in ("skin", "other", "to 0", "Stop"):
        assert never_written not in text


def test_pages_turn_while_one_types_and_arrows_scroll_the_leaf_itself(
    page: FormulasPage, find: Find
) -> None:
    find("zinc and castor")
    bar = page.leaf.verticalScrollBar()
    press(Qt.Key.Key_PageDown)
    assert page.search.hasFocus()
    turned = bar.value()
    assert turned > 0
    press(Qt.Key.Key_PageUp)
    assert bar.value() == 0
    page.leaf.setFocus()
    press(Qt.Key.Key_Down)
    assert 0 < bar.value() < turned


@pytest.mark.parametrize("width", [900, 1280, 1920, 3840])
def test_no_line_is_wider_than_the_measure_or_the_leaf(
    width: int, window: Window, page: FormulasPage, find: Find
) -> None:
    window.resize(width, 1000)
    find("hydrophilic cream, preserved")
    measure = QFontMetrics(theme.font(theme.Size.TEXT)).averageCharWidth() * MEASURE
    laid_out = page.leaf.document().size().width()
    assert laid_out <= min(measure, page.leaf.viewport().width()) + 1


def test_no_figure_of_an_ingredient_s_name_parts_from_its_per_cent(
    page: FormulasPage, find: Find, settle: Callable[[], None]
) -> None:
    find("CR-003")
    settle()
    assert "Sodium lactate solution 50\N{NO-BREAK SPACE}%" in page.leaf.document().toRawText()


def test_the_leaf_says_how_long_it_lasts_by_rule_and_why(
    page: FormulasPage, find: Find, settle: Callable[[], None]
) -> None:
    find("CR-003")
    settle()
    text = page.leaf.toPlainText().replace("\N{NO-BREAK SPACE}", " ")
    assert "Made today: use by" in text
    assert "Aqueous, preserved: 35 days" in text
    assert "quoted by an examination page" in text
    assert "The earliest counts" in text


def lines_of(leaf: Leaf) -> list[str]:
    """Return the lines as they are laid out, each as a reader sees it."""
    found = []
    block = leaf.document().begin()
    while block.isValid():
        laid = block.layout()
        for number in range(laid.lineCount()):
            line = laid.lineAt(number)
            start = line.textStart()
            found.append(block.text()[start : start + line.textLength()].strip())
        block = block.next()
    return [each.replace("\N{NO-BREAK SPACE}", " ") for each in found]


@pytest.mark.parametrize("width", [700, 900, 1280, 1920])
@pytest.mark.parametrize(("code", "point"), [("SU-001", "pH 3.5"), ("GE-002", "pH 6.5")])
def test_the_figure_of_an_end_point_is_never_torn_apart(
    width: int, code: str, point: str, window: Window, page: FormulasPage, find: Find
) -> None:
    window.resize(width, 1000)
    find(code)
    lines = lines_of(page.leaf)
    assert any(line.endswith(point) for line in lines), lines


@pytest.mark.parametrize("width", [300, 420, 640, 1000])
def test_whole_numbers_stand_on_the_line_of_their_decimals(
    width: int, page: FormulasPage, find: Find
) -> None:
    find("CR-003")
    page.leaf.setLineWrapColumnOrWidth(width)
    document = page.leaf.document()
    layout = document.documentLayout()
    block = document.begin()
    checked = 0
    while block.isValid():
        if re.fullmatch(r"[.,]\d+", block.text()):
            before = block.previous()
            assert before.layout().lineCount() == 1
            tops = [layout.blockBoundingRect(each).top() for each in (before, block)]
            assert tops[0] == tops[1]
            checked += 1
        block = block.next()
    assert checked
