"""How the tests type: into the search field, and into an input by its name."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from ui.calculations.input_row import ChoiceRow, LineRow
from ui.calculations.page import CalculationsPage


def go_to(page: CalculationsPage, words: str) -> None:
    """Search for words and go into the first calculation found."""
    page.index.search.setFocus()
    page.index.search.selectAll()
    QTest.keyClicks(page.index.search, words)
    QTest.keyClick(page.index.search, Qt.Key.Key_Return)


def enter(page: CalculationsPage, **texts: str) -> None:
    """Type into inputs by their names."""
    for name, text in texts.items():
        line = row(page, name).edit.line
        line.selectAll()
        QTest.keyClicks(line, text)


def row(page: CalculationsPage, name: str) -> LineRow:
    """Return an input with a line."""
    found = page.sheet.inputs.rows[name]
    assert isinstance(found, LineRow)
    return found


def choice(page: CalculationsPage, name: str) -> ChoiceRow:
    """Return an input with a list of words."""
    found = page.sheet.inputs.rows[name]
    assert isinstance(found, ChoiceRow)
    return found
