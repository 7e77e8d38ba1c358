"""The rule set is chosen and rules of the house are written and signed on the page Settings."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QWidget

from formulary.desk import Desk
from formulary.errors import Refusal
from formulary.shelf_life.house_rules import CODE
from formulary.verbs.start_preparation import Order, start_preparation
from tests.ui.at_desk import plain, version_of
from ui.context import Context, Signing
from ui.forms.inputs import ChoiceInput
from ui.forms.record_table import RecordTable
from ui.settings.page import SettingsPage

Show = Callable[[QWidget], None]
Settle = Callable[[], None]
PIN = "3141"
RULE = {
    "name": "Watery cream",
    "period": "3 weeks",
    "form": "cream",
    "water": "aqueous",
    "preserved": "yes",
    "packing": "jar",
    "kept_at_most": "25",
    "source": "Stability record 12",
}


@pytest.fixture
def signed(context: Context) -> list[str]:
    """Sign whatever asks for it with the PIN, and return what the signatures mean."""
    meant: list[str] = []

    def sign(wanted: Signing) -> None:
        meant.append(wanted.meaning)
        wanted.act(PIN, lambda: None, context.say.refuse)

    context.signature_wanted.connect(sign)
    return meant


@pytest.fixture
def page(context: Context, show: Show) -> SettingsPage:
    made = SettingsPage(context)
    show(made)
    return made


def choose(page: SettingsPage, field: str, value: str) -> None:
    found = page.dates.inputs[field]
    assert isinstance(found, ChoiceInput)
    found.box.setCurrentIndex(found.box.findData(value))


def save(page: SettingsPage, settle: Settle) -> None:
    QTest.keyClick(page, Qt.Key.Key_S, Qt.KeyboardModifier.ControlModifier)
    settle()


def write_rule(page: SettingsPage, **more: str) -> None:
    """Put one rule into the table, as if it were typed."""
    page.take("house_rules")
    table = page.tables["house_rules"]
    table.model.add_row()
    for column, field in enumerate(table.model.fields):
        table.model.setData(table.model.index(0, column), (RULE | more)[field.name])


def test_every_set_there_is_can_be_chosen_and_the_choice_is_kept(
    page: SettingsPage, desk: Desk, settle: Settle, signed: list[str]
) -> None:
    found = page.dates.inputs["rule_set"]
    assert isinstance(found, ChoiceInput)
    offered = {found.box.itemData(row) for row in range(found.box.count())}
    assert offered == {"be-2-months", "de-2014", "usp795-2014", "usp795-2023", CODE}
    choose(page, "rule_set", "de-2014")
    save(page, settle)
    assert desk.house.rule_set == "de-2014"
    assert signed == []


def test_a_rule_of_the_house_is_signed_as_it_is_saved_and_dates_from_then_on(
    page: SettingsPage, desk: Desk, settle: Settle, signed: list[str]
) -> None:
    write_rule(page)
    choose(page, "rule_set", CODE)
    save(page, settle)
    assert len(signed) == 1
    rules = desk.house.house_rules
    assert rules is not None
    assert rules.signature.person in plain(page.signed_rules.text())
    assert desk.house.rule_set == CODE
    made = start_preparation(desk, version_of(desk, "CR-001").id, Order("100 g"))
    assert (made.use_by - made.made_on).days == 20
    assert not page.save.isEnabled()


def test_a_rule_of_the_house_for_tubes_dates_nothing_in_a_jar(
    page: SettingsPage, desk: Desk, settle: Settle, signed: list[str]
) -> None:
    write_rule(page, packing="tube")
    choose(page, "rule_set", CODE)
    save(page, settle)
    assert signed
    with pytest.raises(Refusal, match=r"shelf_life\.finding\.no_limit"):
        start_preparation(desk, version_of(desk, "CR-001").id, Order("100 g"))


def test_a_rule_that_cant_be_read_is_not_signed(
    page: SettingsPage, desk: Desk, settle: Settle, signed: list[str]
) -> None:
    write_rule(page, kept_at_most="cool")
    save(page, settle)
    table = page.tables["house_rules"]
    assert isinstance(table, RecordTable)
    assert "Write whole degrees Celsius" in table.trouble.text()
    assert signed == []
    assert desk.house.house_rules is None
