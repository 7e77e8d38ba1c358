"""Two people change the same record: whoever comes second sees both and chooses."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QLabel, QWidget

from formulary.desk import Desk
from formulary.house import House
from formulary.ingredient import Ingredient
from tests.ui.at_desk import context, desk, furnished, settle, show
from ui.context import Context
from ui.forms.both_versions import BothVersions
from ui.ingredients.page import IngredientsPage
from ui.settings.page import SettingsPage

__all__ = ["context", "desk", "furnished", "settle", "show"]


def zinc(desk: Desk) -> Ingredient:
    return next(each for each in desk.store.every(Ingredient) if each.name == "Zinc oxide")


def texts(both: BothVersions) -> list[str]:
    return [each.text() for each in both.findChildren(QLabel) if each.isVisible()]


@pytest.fixture
def page(
    context: Context, show: Callable[[QWidget], None], settle: Callable[[], None]
) -> IngredientsPage:
    """Return the ingredients with a note typed here, and another one saved elsewhere meanwhile."""
    page = IngredientsPage(context)
    page.take("Zinc oxide")
    show(page)
    page.form.inputs["note"].set_text("Typed here")
    page.form.edited.emit()
    desk = context.desk
    with desk.writing("save_ingredient") as writing:
        writing.put(replace(zinc(desk), note="Saved elsewhere"))
    QTest.keyClick(page.form.inputs["note"], Qt.Key.Key_S, Qt.KeyboardModifier.ControlModifier)
    settle()
    settle()
    return page


def test_both_are_shown_with_who_saved_the_other(page: IngredientsPage) -> None:
    assert page.both.isVisible()
    shown = texts(page.both)
    assert {"Saved elsewhere", "Typed here"} <= {*shown}
    assert any("Corrander" in each or "changed in the meantime" in each for each in shown)


def test_mine_goes_in_its_place_by_choice(
    page: IngredientsPage, context: Context, settle: Callable[[], None]
) -> None:
    assert page.both.first.hasFocus()
    QTest.keyClick(page.both.first, Qt.Key.Key_Space)
    settle()
    assert zinc(context.desk).note == "Typed here"
    assert not page.both.isVisible()


def test_theirs_is_taken_by_choice(
    page: IngredientsPage, context: Context, settle: Callable[[], None]
) -> None:
    page.both.take_theirs.trigger()
    settle()
    assert page.form.values()["note"] == "Saved elsewhere"
    assert zinc(context.desk).note == "Saved elsewhere"
    assert not page.both.isVisible()


def test_settings_show_both_too_and_keep_what_was_typed(
    context: Context,
    show: Callable[[QWidget], None],
    settle: Callable[[], None],
) -> None:
    page = SettingsPage(context)
    show(page)
    page.names.inputs["telephone"].set_text("0555 0111")
    page.names.edited.emit()
    desk = context.desk
    with desk.writing("save_house") as writing:
        writing.put(replace(desk.house, telephone="0555 0222"))
    page.save.trigger()
    settle()
    settle()
    assert page.both.isVisible()
    assert {"0555 0111", "0555 0222"} <= {*texts(page.both)}
    QTest.keyClick(page.both.first, Qt.Key.Key_Space)
    settle()
    (house,) = desk.store.every(House)
    assert house.telephone == "0555 0111"
