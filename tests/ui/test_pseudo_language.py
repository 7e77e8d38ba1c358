"""Every word of the window comes from the catalogue: in the pseudo-language it shows."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any

import pytest
from PySide6.QtGui import QAction, QKeySequence
from PySide6.QtWidgets import QAbstractButton, QComboBox, QLabel, QLineEdit, QWidget
from pytestqt.qtbot import QtBot

from formulary.calculating.registry import every_calculation
from formulary.calculating.saying import unit_said
from formulary.catalogue import Catalogue
from formulary.exchange.sample_house import sample_house
from formulary.shelf_life.published import published
from formulary.wording.label_profile import label_profiles
from tests.ui.conftest import settled
from ui.calculations.units import offered_units
from ui.context import PageName
from ui.formulas.page import FormulasPage
from ui.widgets.words import KEY_GAP
from ui.window import Window

_LETTER = re.compile(r"[^\W\d_]")


def literals(window: Window) -> set[str]:
    """Return the texts in the window that neither the catalogue nor the house's data gave."""
    texts = {text for widget in window.findChildren(QWidget) for text in _texts(widget)}
    texts |= {each.text() for each in window.findChildren(QAction) if _is_ours(each)}
    return {text for text in texts if not _is_told(text)} - data(window)


def _texts(widget: QWidget) -> Iterator[str]:
    if isinstance(widget, QLabel | QAbstractButton):
        yield widget.text()
    elif isinstance(widget, QLineEdit):
        yield widget.placeholderText()
    elif isinstance(widget, QComboBox):
        yield from (widget.itemText(position) for position in range(widget.count()))
    yield widget.accessibleName()


def _is_ours(action: QAction) -> bool:
    """Whether an action is the program's, not one that Qt puts into its line edits."""
    return not isinstance(action.parent(), QLineEdit)


def _is_told(text: str) -> bool:
    words = text.partition(KEY_GAP)[0].strip()
    if "⟦" in words or not _LETTER.search(words):
        return True
    return not QKeySequence(words).isEmpty() and len(words) == 1


def data(window: Window) -> set[str]:
    """Return what the house itself wrote: names of people, containers, instruments and so on."""
    house = window.context.house
    named: list[Any] = [*house.balances, *house.measures, *house.packs, *house.printers]
    named += sample_house().ingredients
    own = {each.name for each in (house, *named, *window.context.people)}
    own |= {each.title for each in published()}
    own |= {each.title for each in label_profiles()}
    return own | {house.zone, house.decimal_sign} | figures()


def figures() -> set[str]:
    """Return the units and the example figures that a calculation may show."""
    every = every_calculation()
    offered = {unit for each in every for put in each.inputs for unit in offered_units(put)}
    examples = {text for each in every for _, text in each.examples}
    return examples | {unit_said(unit, Catalogue()) for unit in offered}


@pytest.mark.parametrize("name", list(PageName))
def test_no_page_has_words_of_its_own(qtbot: QtBot, pseudo_window: Window, name: PageName) -> None:
    pseudo_window.show_page(name.value)
    settled(qtbot, pseudo_window)
    assert literals(pseudo_window) == set()


def test_the_editor_has_no_words_of_its_own(qtbot: QtBot, pseudo_window: Window) -> None:
    page = pseudo_window.pages["formulas"]
    assert isinstance(page, FormulasPage)
    page.new.trigger()
    settled(qtbot, pseudo_window)
    assert literals(pseudo_window) == set()
