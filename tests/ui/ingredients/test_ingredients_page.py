from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from fractions import Fraction

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QLineEdit, QWidget

from formulary.desk import Desk
from formulary.ingredient import Ingredient
from formulary.quantity.amount import Amount
from formulary.quantity.density import Density
from formulary.verbs.keep_records import save_ingredient
from tests.ui.at_desk import unnamed
from ui.context import Context
from ui.forms.inputs import ChecksInput, LineInput
from ui.ingredients.page import IngredientsPage

Show = Callable[[QWidget], None]
Settle = Callable[[], None]
CONTROL = Qt.KeyboardModifier.ControlModifier


@pytest.fixture
def page(context: Context, show: Show) -> IngredientsPage:
    made = IngredientsPage(context)
    show(made)
    return made


def line(page: IngredientsPage, field: str) -> QLineEdit:
    found = page.form.inputs[field]
    assert isinstance(found, LineInput)
    return found.edit.line


def trouble(page: IngredientsPage, field: str) -> str:
    return line(page, field).accessibleDescription()


def find(page: IngredientsPage, words: str) -> None:
    page.index.search.clear()
    QTest.keyClicks(page.index.search, words)


def listed(page: IngredientsPage) -> list[str]:
    return [page.index.list.item(row).text() for row in range(page.index.list.count())]


def rewrite(page: IngredientsPage, field: str, text: str) -> None:
    line(page, field).selectAll()
    QTest.keyClicks(line(page, field), text)


def kept(desk: Desk, name: str) -> Ingredient:
    (found,) = [each for each in desk.store.every(Ingredient) if each.name == name]
    return found


@pytest.mark.parametrize("words", ["almond", "Amygdalae oleum", "mandelol", "sweet alm"])
def test_the_search_knows_names_latin_and_synonyms(page: IngredientsPage, words: str) -> None:
    find(page, words)
    assert "Almond oil, refined" in listed(page)


def test_a_search_without_a_find_says_so(page: IngredientsPage) -> None:
    find(page, "xyzzy")
    assert page.index.nothing.isVisible()
    assert not page.form.isVisible()


def test_a_density_is_saved_with_its_source(
    page: IngredientsPage, desk: Desk, settle: Settle
) -> None:
    find(page, "calamine")
    rewrite(page, "density", "1.1 g/mL")
    rewrite(page, "density_source", "from memory")
    rewrite(page, "density_at", "20 °C")
    QTest.keyClick(page, Qt.Key.Key_S, CONTROL)
    settle()
    assert kept(desk, "Calamine").density == Density(Fraction(11, 10), "from memory", "20 °C")
    assert not page.save.isEnabled()


def test_a_density_without_a_source_is_refused_at_its_field(
    page: IngredientsPage, desk: Desk, settle: Settle
) -> None:
    find(page, "calamine")
    rewrite(page, "density", "1.1 g/mL")
    page.save.trigger()
    settle()
    assert trouble(page, "density_source").startswith("A density needs its source")
    assert QApplication.focusWidget() is line(page, "density_source")
    assert kept(desk, "Calamine").density is None


def test_a_figure_in_doubt_is_refused_while_it_is_typed(page: IngredientsPage) -> None:
    find(page, "calamine")
    rewrite(page, "density", "1,250 g/mL")
    assert trouble(page, "density").startswith("“1,250” could be 1.25 or 1250.")


def test_a_drop_is_a_mass_or_a_volume(page: IngredientsPage) -> None:
    find(page, "calamine")
    rewrite(page, "drop", "3 drops")
    assert "Write a mass or a volume" in trouble(page, "drop")


def test_enter_confirms_the_unit_that_was_left_out(
    page: IngredientsPage, desk: Desk, settle: Settle
) -> None:
    find(page, "calamine")
    rewrite(page, "drop", "0.03")
    assert "Is 0.03" in trouble(page, "drop")
    QTest.keyClick(line(page, "drop"), Qt.Key.Key_Return)
    page.save.trigger()
    settle()
    assert kept(desk, "Calamine").drop == Amount(Fraction(3, 100), "g")


def test_warnings_are_ticked_from_the_label_texts(
    page: IngredientsPage, desk: Desk, settle: Settle
) -> None:
    find(page, "calamine")
    warnings = page.form.inputs["warnings"]
    assert isinstance(warnings, ChecksInput)
    assert warnings.list.item(0).text() == "For animals only."
    warnings.list.setFocus()
    QTest.keyClick(warnings.list, Qt.Key.Key_Space)
    page.save.trigger()
    settle()
    assert kept(desk, "Calamine").warnings == ("animal_only",)


def test_a_new_ingredient_needs_a_name(page: IngredientsPage, settle: Settle) -> None:
    QTest.keyClick(page, Qt.Key.Key_N, CONTROL)
    page.save.trigger()
    settle()
    assert trouble(page, "name") == "Name: this is needed."


def test_a_new_ingredient_is_saved_and_listed(
    page: IngredientsPage, desk: Desk, settle: Settle
) -> None:
    QTest.keyClick(page, Qt.Key.Key_N, CONTROL)
    QTest.keyClicks(line(page, "name"), "Quince jelly")
    QTest.keyClick(page, Qt.Key.Key_S, CONTROL)
    settle()
    assert kept(desk, "Quince jelly").revision == 1
    assert "Quince jelly" in listed(page)


def test_a_name_that_is_taken_is_said_at_the_name(page: IngredientsPage, settle: Settle) -> None:
    QTest.keyClick(page, Qt.Key.Key_N, CONTROL)
    QTest.keyClicks(line(page, "name"), "Calamine")
    page.save.trigger()
    settle()
    assert trouble(page, "name") == "There is an ingredient called Calamine already."


def test_going_to_another_loses_nothing(page: IngredientsPage, settle: Settle) -> None:
    find(page, "calamine")
    rewrite(page, "latin", "Calamina praeparata")
    find(page, "almond")
    settle()
    find(page, "calamine")
    assert listed(page) == ["Calamine (not saved)"]
    assert line(page, "latin").text() == "Calamina praeparata"


def test_unsaved_edits_are_there_after_a_crash(
    page: IngredientsPage, context: Context, show: Show
) -> None:
    find(page, "calamine")
    rewrite(page, "latin", "Calamina praeparata")
    again = IngredientsPage(context)
    show(again)
    find(again, "calamine")
    assert line(again, "latin").text() == "Calamina praeparata"


def test_undo_brings_back_what_is_kept(page: IngredientsPage) -> None:
    find(page, "calamine")
    rewrite(page, "latin", "Nonsense")
    modifiers = CONTROL | Qt.KeyboardModifier.ShiftModifier
    line(page, "latin").clearFocus()
    page.index.list.setFocus()
    QTest.keyClick(page.index.list, Qt.Key.Key_Z, modifiers)
    assert line(page, "latin").text() == "Calamina"
    assert listed(page) == ["Calamine"]


def test_what_somebody_else_saved_meanwhile_is_never_overwritten(
    page: IngredientsPage, context: Context, desk: Desk, settle: Settle
) -> None:
    find(page, "calamine")
    rewrite(page, "latin", "Mine")
    save_ingredient(desk, replace(kept(desk, "Calamine"), latin="Theirs"))
    page.save.trigger()
    settle()
    page.save.trigger()
    settle()
    keys = [each.message.key for each in context.say.history]
    assert keys == ["store.changed_elsewhere"] * 2
    assert kept(desk, "Calamine").latin == "Theirs"
    assert line(page, "latin").text() == "Mine"


def test_everything_reached_by_tab_has_a_name(page: IngredientsPage) -> None:
    find(page, "calamine")
    assert unnamed(page) == []
