"""Rules of the house for the review: added and taken back under a pharmacist's signature."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QLabel, QPushButton, QWidget

from formulary.catalogue import keys_under
from formulary.exchange.sample_house import sample_pins
from formulary.review.house_rules import HouseRule
from formulary.review.registry import RULES
from ui.context import Context, Signing
from ui.forms.inputs import ChoiceInput, LineInput
from ui.settings.page import SettingsPage

Show = Callable[[QWidget], None]
Settle = Callable[[], None]


@pytest.fixture
def page(context: Context, show: Show, settle: Settle) -> SettingsPage:
    """Return the page, at which every signature is given."""
    pins = {name: pin for name, _, pin in sample_pins()}

    def sign(asked: Signing) -> None:
        asked.act(pins[context.desk.person.name], lambda: None, context.say.refuse)

    context.signature_wanted.connect(sign)
    made = SettingsPage(context)
    show(made)
    made.take("rules")
    settle()
    return made


def kept(context: Context) -> list[HouseRule]:
    return [each for each in context.desk.store.every(HouseRule) if each.stands]


def write(page: SettingsPage, field: str, text: str) -> None:
    found = page.rules.form.inputs[field]
    if isinstance(found, LineInput):
        QTest.keyClicks(found.edit.line, text)
    else:
        found.set_text(text)


def test_a_rule_that_silences_is_added_and_taken_back(
    page: SettingsPage, context: Context, settle: Settle
) -> None:
    choice = page.rules.form.inputs["silences"]
    assert isinstance(choice, ChoiceInput)
    choice.box.setCurrentIndex(choice.box.findData("look_alike"))
    write(page, "because", "the shelf is sorted by hand")
    page.rules.add.trigger()
    settle()
    settle()
    assert [each.silences for each in kept(context)] == ["look_alike"]
    words = page.rules.listed.item(0).text()
    assert "Silent: look-alike names" in words
    assert context.desk.person.name in words
    page.rules.listed.setCurrentRow(0)
    page.rules.end.trigger()
    settle()
    assert len(kept(context)) == 1
    assert "why the rule is taken back" in trouble_at(page, "because")
    write(page, "because", "we moved")
    page.rules.end.trigger()
    settle()
    settle()
    assert kept(context) == []
    assert page.rules.listed.count() == 0


def trouble_at(page: SettingsPage, field: str) -> str:
    return " ".join(each.text() for each in page.rules.form.inputs[field].findChildren(QLabel))


def test_a_key_adds_the_rule_from_any_of_its_fields(
    page: SettingsPage, context: Context, settle: Settle
) -> None:
    write(page, "sentence", "Sieve it twice.")
    write(page, "because", "lumps in May")
    write(page, "substances", "Zinc oxide")
    page.rules.form.inputs["substances"].setFocus()
    focused = QApplication.focusWidget()
    assert focused is not None
    QTest.keyClick(focused, Qt.Key.Key_Return, Qt.KeyboardModifier.ControlModifier)
    settle()
    settle()
    assert len(kept(context)) == 1
    (add,) = [each for each in page.rules.findChildren(QPushButton) if "Add" in each.text()]
    assert "Ctrl+Return" in add.text()


def test_what_a_new_rule_lacks_is_said_at_its_field(page: SettingsPage) -> None:
    write(page, "sentence", "Sieve it twice.")
    write(page, "substances", "Zinc oxide")
    page.rules.add.trigger()
    assert "why the house has this rule" in trouble_at(page, "because")


def test_a_rule_to_silence_is_chosen_by_typing_its_name(page: SettingsPage) -> None:
    choice = page.rules.form.inputs["silences"]
    assert isinstance(choice, ChoiceInput)
    choice.box.setFocus()
    QTest.keyClicks(choice.box, "phenols with")
    assert choice.text() == "phenol_macrogol"
    assert not choice.box.view().isVisible()


def test_a_rule_that_adds_says_about_which_substances(
    page: SettingsPage, context: Context, settle: Settle
) -> None:
    write(page, "sentence", "Sieve it twice.")
    write(page, "because", "lumps in May")
    write(page, "citation", "leaflet of the supplier")
    page.rules.add.trigger()
    settle()
    assert kept(context) == []
    write(page, "substances", "Zinc oxide")
    page.rules.add.trigger()
    settle()
    settle()
    assert [each.substances for each in kept(context)] == [("Zinc oxide",)]
    said = page.rules.listed.item(0).text()
    assert said.startswith("“Sieve it twice.”; where there is Zinc oxide; Think; ")
    assert "source: leaflet" in said


def test_enter_adds_a_rule_or_says_what_is_missing(
    page: SettingsPage, context: Context, settle: Settle
) -> None:
    (add,) = [each for each in page.rules.findChildren(QPushButton) if "Add" in each.text()]
    add.setFocus()
    QTest.keyClick(add, Qt.Key.Key_Return)
    assert "either adds a sentence or silences" in trouble_at(page, "sentence")
    write(page, "sentence", "Sieve it twice.")
    write(page, "because", "lumps in May")
    write(page, "substances", "Zinc oxide")
    QTest.keyClick(add, Qt.Key.Key_Return)
    settle()
    settle()
    assert len(kept(context)) == 1


def test_the_section_is_reached_by_keys(page: SettingsPage) -> None:
    page.sections.setFocus()
    QTest.keyClick(page.sections, Qt.Key.Key_Return)
    focused = page.focusWidget()
    assert focused is not None
    assert page.rules.form.isAncestorOf(focused)


def test_every_rule_has_its_name() -> None:
    named = {key.rpartition(".")[2] for key in keys_under("review.rule")}
    assert named == {each.name for each in RULES}
