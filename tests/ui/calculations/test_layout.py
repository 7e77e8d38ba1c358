"""Nothing is clipped: every line of words has its height, in narrow and wide windows."""

from __future__ import annotations

import pytest
from PySide6.QtWidgets import QLabel, QWidget
from pytestqt.qtbot import QtBot

from formulary.calculating.registry import every_calculation
from tests.ui.calculations.keys import enter, row
from ui.calculations.page import CalculationsPage

WIDTHS = (1280, 1920)


def clipped(part: QWidget) -> list[str]:
    """Return the texts whose labels are too low for them."""
    shown = (each for each in part.findChildren(QLabel) if each.isVisible() and each.wordWrap())
    return [each.text() for each in shown if each.heightForWidth(each.width()) > each.height()]


@pytest.mark.parametrize("width", WIDTHS)
def test_no_words_of_an_input_are_clipped(page: CalculationsPage, qtbot: QtBot, width: int) -> None:
    page.resize(width, 760)
    for each in every_calculation():
        page.take(each.name)
        qtbot.waitUntil(lambda: clipped(page.sheet.inputs) == [], timeout=1000)


def test_the_unit_stays_beside_its_field_while_a_sentence_stands_below(
    page: CalculationsPage, qtbot: QtBot
) -> None:
    page.take("dilution")
    enter(page, target="12 parsecs")
    target = row(page, "target")
    qtbot.waitUntil(lambda: target.edit.note.isVisible() and target.edit.note.height() > 0)
    line, unit = target.edit.line, target.unit
    assert line.mapTo(page, line.rect().center()).y() == pytest.approx(
        unit.mapTo(page, unit.rect().center()).y(), abs=2
    )


def test_a_figure_stays_with_its_unit_where_a_line_ends(page: CalculationsPage) -> None:
    page.take("ethanol-dilution")
    assert "40\N{NO-BREAK SPACE}°C" in page.sheet.view.limits.text()


def test_another_calculation_begins_at_its_top(page: CalculationsPage, qtbot: QtBot) -> None:
    page.take("suppositories")
    bar = page._leaf.verticalScrollBar()
    qtbot.waitUntil(lambda: bar.maximum() > 0)
    bar.setValue(bar.maximum())
    page.take("capsule-filling")
    assert bar.value() == 0
