from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import date
from fractions import Fraction

import pytest
from PySide6.QtCore import QSettings, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QLabel, QLineEdit, QWidget
from pytestqt.modeltest import ModelTester

from formulary.desk import Desk
from formulary.house import Balance
from formulary.people import Person, Post
from formulary.pins import fits
from formulary.quantity.amount import Amount
from formulary.verbs.keep_records import save_house
from tests.ui.at_desk import plain, unnamed
from ui.context import Context
from ui.forms.inputs import ChoiceInput, LineInput
from ui.forms.record_book import RecordBook
from ui.forms.record_table import RecordTable
from ui.settings.page import SettingsPage

Show = Callable[[QWidget], None]
Settle = Callable[[], None]
CONTROL = Qt.KeyboardModifier.ControlModifier


@pytest.fixture
def page(context: Context, show: Show) -> SettingsPage:
    made = SettingsPage(context)
    show(made)
    return made


def line(page: SettingsPage, field: str) -> QLineEdit:
    found = next(form.inputs[field] for form in page.forms.values() if field in form.inputs)
    assert isinstance(found, LineInput)
    return found.edit.line


def rewrite(page: SettingsPage, field: str, text: str) -> None:
    line(page, field).selectAll()
    QTest.keyClicks(line(page, field), text)


def choose(page: SettingsPage, field: str, value: str) -> None:
    found = page.writing.inputs[field]
    assert isinstance(found, ChoiceInput)
    found.box.setCurrentIndex(found.box.findData(value))


def offered(page: SettingsPage, field: str) -> list[object]:
    found = page.writing.inputs[field]
    assert isinstance(found, ChoiceInput)
    return [found.box.itemData(position) for position in range(found.box.count())]


def table_of(page: SettingsPage, name: str) -> RecordTable:
    found = page.tables[name]
    assert isinstance(found, RecordTable)
    return found


def book_of(page: SettingsPage, name: str) -> RecordBook:
    found = page.tables[name]
    assert isinstance(found, RecordBook)
    return found


def open_table(page: SettingsPage, name: str) -> None:
    page.take(name)
    page.tables[name].enter()


def type_field(page: SettingsPage, row: int, **texts: str) -> None:
    """Come to a balance in the list, and type into its form."""
    book = book_of(page, "balances")
    page.take("balances")
    book.list.setCurrentIndex(book.list.model().index(row, 0))
    for name, text in texts.items():
        made = book.form.inputs[name]
        assert isinstance(made, LineInput)
        made.edit.line.selectAll()
        QTest.keyClicks(made.edit.line, text)


def sentence_at(page: SettingsPage, name: str) -> str:
    made = book_of(page, "balances").form.inputs[name]
    assert isinstance(made, LineInput)
    return plain(made.edit.note.text())


def type_cell(page: SettingsPage, name: str, row: int, column: int, text: str) -> None:
    table = table_of(page, name).table
    table.setCurrentIndex(table.model().index(row, column))
    QTest.keyClick(table, Qt.Key.Key_Return)
    editor = QApplication.focusWidget()
    assert isinstance(editor, QLineEdit)
    editor.selectAll()
    QTest.keyClicks(editor, text)
    QTest.keyClick(editor, Qt.Key.Key_Return)
    QApplication.processEvents()


def names_told(page: SettingsPage) -> list[str]:
    model = book_of(page, "balances").list.model()
    role = Qt.ItemDataRole.AccessibleTextRole
    return [str(model.index(row, 0).data(role)) for row in range(model.rowCount())]


def save(page: SettingsPage, settle: Settle) -> None:
    QTest.keyClick(page, Qt.Key.Key_S, CONTROL)
    settle()


def said(context: Context) -> list[str]:
    return [each.message.key for each in context.say.history]


def test_the_sample_house_says_that_it_is_one(page: SettingsPage) -> None:
    assert page.sample.isVisible()
    assert "not for clinical use" in page.sample.text()


def test_the_house_is_saved_in_one_act_with_its_reason(
    page: SettingsPage, desk: Desk, settle: Settle
) -> None:
    before = len(desk.store.history())
    rewrite(page, "telephone", "01632 960999")
    QTest.keyClicks(page.reason, "New line")
    save(page, settle)
    (entry,) = desk.store.history(after=before)
    assert (entry.verb, entry.act.reason) == ("save_house", "New line")
    assert desk.house.telephone == "01632 960999"
    assert not page.save.isEnabled()


def test_the_decimal_sign_shows_what_it_does_and_takes_effect_at_once(
    page: SettingsPage, context: Context, settle: Settle
) -> None:
    choose(page, "decimal_sign", ",")
    assert "0,5 g; 5 mg; 1250,25 mL" in plain(page.examples.text())
    save(page, settle)
    assert context.catalogue.decimal_sign == ","
    assert page.tables["balances"].rows()[0]["readability"] == "0,1 mg"


def test_amounts_typed_before_the_sign_changed_keep_their_meaning(
    page: SettingsPage, desk: Desk, settle: Settle
) -> None:
    type_field(page, 0, readability="1.125 mg")
    choose(page, "decimal_sign", ",")
    save(page, settle)
    assert desk.house.balances[0].readability == Amount(Fraction(9, 8), "mg")


def test_a_window_in_half_a_language_is_not_offered(page: SettingsPage) -> None:
    assert offered(page, "language") == ["en"]
    assert offered(page, "label_language") == ["ar", "de", "en", "es", "fr", "pl"]


def test_the_decimal_sign_takes_effect_at_once(
    page: SettingsPage, context: Context, settle: Settle
) -> None:
    choose(page, "decimal_sign", ",")
    save(page, settle)
    assert context.catalogue.decimal_sign == ","


def test_a_zone_that_is_none_is_refused_and_gone_to(
    page: SettingsPage, desk: Desk, settle: Settle
) -> None:
    rewrite(page, "zone", "Atlantis")
    save(page, settle)
    assert line(page, "zone").accessibleDescription().startswith("“Atlantis” is no time zone.")
    assert QApplication.focusWidget() is line(page, "zone")
    assert desk.house.zone == "Europe/London"


def test_zones_are_proposed_by_part_of_their_name(page: SettingsPage) -> None:
    completer = line(page, "zone").completer()
    completer.setCompletionPrefix("lisb")
    assert completer.currentCompletion() == "Europe/Lisbon"


@pytest.mark.parametrize("prefix", ["ABCDE", "Ä", "G-"])
def test_a_prefix_that_no_lot_can_have_is_refused(page: SettingsPage, prefix: str) -> None:
    rewrite(page, "lot_prefix", prefix)
    assert "can't begin a lot number" in line(page, "lot_prefix").accessibleDescription()


def test_the_threshold_of_corrections_is_set_and_says_what_it_does(
    page: SettingsPage, desk: Desk, settle: Settle
) -> None:
    page.take("weighing")
    assert line(page, "correction_threshold").text() == "2 %"
    words = plain(" ".join(each.text() for each in page.weighing.findChildren(QLabel)))
    assert "falls short by no more is weighed uncorrected" in words
    rewrite(page, "correction_threshold", "0.5 %")
    save(page, settle)
    assert desk.house.correction_threshold == "0.5"
    assert line(page, "correction_threshold").text() == "0.5 %"


def test_the_threshold_is_in_the_houses_decimal_sign(
    page: SettingsPage, desk: Desk, settle: Settle
) -> None:
    choose(page, "decimal_sign", ",")
    save(page, settle)
    rewrite(page, "correction_threshold", "1,5")
    save(page, settle)
    assert desk.house.correction_threshold == "1.5"
    assert line(page, "correction_threshold").text() == "1,5 %"


@pytest.mark.parametrize("typed", ["11 %", "-1", "two", ""])
def test_a_threshold_that_makes_no_sense_is_refused_and_gone_to(
    page: SettingsPage, desk: Desk, settle: Settle, typed: str
) -> None:
    page.take("weighing")
    line(page, "correction_threshold").selectAll()
    QTest.keyClick(line(page, "correction_threshold"), Qt.Key.Key_Backspace)
    rewrite(page, "correction_threshold", typed)
    save(page, settle)
    assert line(page, "correction_threshold").accessibleDescription()
    assert QApplication.focusWidget() is line(page, "correction_threshold")
    assert desk.house.correction_threshold == "2"


def test_a_balance_is_added_by_keys(page: SettingsPage, desk: Desk, settle: Settle) -> None:
    open_table(page, "balances")
    QTest.keyClick(book_of(page, "balances").list, Qt.Key.Key_Insert)
    for text in ("Travel balance", "100g", "0.05 g", "1 g"):
        editor = QApplication.focusWidget()
        assert isinstance(editor, QLineEdit)
        QTest.keyClicks(editor, text)
        QTest.keyClick(editor, Qt.Key.Key_Tab)
    save(page, settle)
    capacity, readability, minimum = (Amount(Fraction(each), "g") for each in ("100", "0.05", "1"))
    assert desk.house.balances[-1] == Balance("Travel balance", capacity, readability, minimum)


def test_a_balance_is_removed_by_keys(page: SettingsPage, desk: Desk, settle: Settle) -> None:
    open_table(page, "balances")
    names = [each.name for each in desk.house.balances]
    QTest.keyClick(book_of(page, "balances").list, Qt.Key.Key_Delete, CONTROL)
    save(page, settle)
    assert [each.name for each in desk.house.balances] == names[1:]


def test_enter_goes_from_a_balance_into_its_form(page: SettingsPage) -> None:
    open_table(page, "balances")
    QTest.keyClick(book_of(page, "balances").list, Qt.Key.Key_Down)
    QTest.keyClick(book_of(page, "balances").list, Qt.Key.Key_Return)
    editor = QApplication.focusWidget()
    assert isinstance(editor, QLineEdit)
    assert editor.text() == page.tables["balances"].rows()[1]["name"]


def test_calibration_and_test_weights_are_entered_and_kept(
    page: SettingsPage, desk: Desk, settle: Settle
) -> None:
    entered = {"serial": "SN 77", "calibration_due": "2027-03-31", "allowed": "1 mg"}
    type_field(page, 0, **entered, weights="W1: 200 g; W2: 20 g")
    save(page, settle)
    found = desk.house.balances[0]
    assert (found.serial, found.calibration_due) == ("SN 77", date(2027, 3, 31))
    assert [each.number for each in found.weights] == ["W1", "W2"]
    rewrite(page, "telephone", "01632 960999")
    save(page, settle)
    assert desk.house.balances[0] == found


def test_a_row_is_removed_by_keys(page: SettingsPage, desk: Desk, settle: Settle) -> None:
    open_table(page, "measures")
    first = page.tables["measures"].rows()[0]["name"]
    QTest.keyClick(table_of(page, "measures").table, Qt.Key.Key_Delete, CONTROL)
    save(page, settle)
    assert first not in [each.name for each in desk.house.measures]


@pytest.mark.parametrize(
    ("field", "typed", "sentence"),
    [
        ("capacity", "220", "Is 220 g meant?"),
        ("capacity", "220 mL", "Write a mass"),
        ("readability", "0 g", "isn't above zero"),
        ("minimum", "5 u", "could be units or micro-"),
    ],
)
def test_a_field_that_makes_no_sense_says_why_and_stops_saving(
    page: SettingsPage, desk: Desk, settle: Settle, field: str, typed: str, sentence: str
) -> None:
    type_field(page, 1, **{field: typed})
    assert sentence in sentence_at(page, field)
    before = desk.house
    type_field(page, 0)
    save(page, settle)
    assert desk.house == before
    assert sentence in sentence_at(page, field)
    (marked,) = (each for each in names_told(page) if sentence in plain(each))
    assert marked.startswith(before.balances[1].name)


def test_a_balance_without_what_it_needs_is_gone_to(page: SettingsPage, settle: Settle) -> None:
    open_table(page, "balances")
    QTest.keyClick(book_of(page, "balances").list, Qt.Key.Key_Insert)
    editor = QApplication.focusWidget()
    assert isinstance(editor, QLineEdit)
    QTest.keyClicks(editor, "Travel balance")
    save(page, settle)
    assert "needed" in sentence_at(page, "capacity")
    focused = QApplication.focusWidget()
    assert focused is not None
    assert focused.accessibleName() == "Capacity"


def test_a_balance_that_weighs_less_than_its_least_amount_is_refused(
    page: SettingsPage, context: Context, desk: Desk, settle: Settle
) -> None:
    type_field(page, 0, minimum="500 g")
    save(page, settle)
    assert said(context) == ["ui_settings.over_capacity"]
    assert desk.house.balances[0].minimum == Amount(Fraction(20), "mg")


def test_two_of_one_name_are_refused(page: SettingsPage, context: Context, settle: Settle) -> None:
    open_table(page, "packs")
    type_cell(page, "packs", 1, 0, page.tables["packs"].rows()[0]["name"])
    save(page, settle)
    assert said(context) == ["ui_settings.same_name"]


def test_a_printers_stock_is_one_of_those_there_are(page: SettingsPage) -> None:
    open_table(page, "printers")
    type_cell(page, "printers", 0, 3, "61x29")
    assert "There is no label stock 61x29." in table_of(page, "printers").trouble.text()


def test_a_person_is_added_with_a_post(page: SettingsPage, desk: Desk, settle: Settle) -> None:
    open_table(page, "people")
    QTest.keyClick(table_of(page, "people").table, Qt.Key.Key_Insert)
    editor = QApplication.focusWidget()
    assert isinstance(editor, QLineEdit)
    QTest.keyClicks(editor, "Ruta Falk")
    QTest.keyClick(editor, Qt.Key.Key_Return)
    QApplication.processEvents()
    save(page, settle)
    (added,) = [each for each in desk.store.every(Person) if each.name == "Ruta Falk"]
    assert added.post is Post.PHARMACIST
    assert len(desk.store.every(Person)) == 6


def test_a_new_pin_is_kept_as_a_hash_and_never_among_the_edits(
    page: SettingsPage, desk: Desk, settle: Settle
) -> None:
    open_table(page, "people")
    type_cell(page, "people", 0, 2, "horse battery")
    page.keep_draft()
    kept = QSettings()
    assert all("horse" not in str(kept.value(key)) for key in kept.allKeys())
    name = page.tables["people"].rows()[0]["name"]
    save(page, settle)
    (person,) = [each for each in desk.store.every(Person) if each.name == name]
    assert fits("horse battery", person.pin_hash)


def test_the_last_pharmacist_can_t_be_removed(
    page: SettingsPage, desk: Desk, context: Context, settle: Settle
) -> None:
    ilse, tobias = (
        row for row, each in enumerate(page.tables["people"].rows()) if each["post"] == "pharmacist"
    )
    open_table(page, "people")
    table = table_of(page, "people").table
    for row in (ilse, tobias):
        table.setCurrentIndex(table.model().index(row, 3))
        QTest.keyClick(table, Qt.Key.Key_Space)
    save(page, settle)
    assert "people.last_pharmacist" in said(context)
    left = [each for each in desk.store.every(Person) if each.post is Post.PHARMACIST]
    assert any(not each.gone for each in left)


def test_what_was_typed_is_there_after_a_crash(
    page: SettingsPage, context: Context, show: Show
) -> None:
    rewrite(page, "telephone", "01632 960999")
    again = SettingsPage(context)
    show(again)
    assert line(again, "telephone").text() == "01632 960999"
    assert again.save.isEnabled()


def test_undo_brings_back_what_is_kept(page: SettingsPage, settle: Settle) -> None:
    rewrite(page, "telephone", "1")
    page.undo.trigger()
    settle()
    assert line(page, "telephone").text() == "01632 960417"
    assert not page.save.isEnabled()


def test_what_somebody_else_saved_meanwhile_is_never_overwritten(
    page: SettingsPage, context: Context, desk: Desk, settle: Settle
) -> None:
    rewrite(page, "telephone", "1")
    save_house(desk, replace(desk.house, telephone="2"))
    save(page, settle)
    assert said(context) == ["store.changed_elsewhere"]
    assert desk.house.telephone == "2"
    assert "Choose which of the two stands." in page.both.said.text()
    page.undo.trigger()
    settle()
    assert line(page, "telephone").text() == "2"


def test_enter_puts_what_is_typed_in_the_place_of_what_somebody_else_saved(
    page: SettingsPage, desk: Desk, settle: Settle
) -> None:
    rewrite(page, "telephone", "1")
    save_house(desk, replace(desk.house, telephone="2"))
    save(page, settle)
    assert page.both.first.hasFocus()
    QTest.keyClick(page.both.first, Qt.Key.Key_Return)
    settle()
    assert desk.house.telephone == "1"
    assert page.both.isHidden()


def test_everything_reached_by_tab_has_a_name_in_every_section(page: SettingsPage) -> None:
    for row in range(page.sections.count()):
        page.sections.setCurrentRow(row)
        assert unnamed(page) == []


def test_the_tables_keep_qts_rules(page: SettingsPage, qtmodeltester: ModelTester) -> None:
    qtmodeltester.check(page.tables["packs"].model)  # type: ignore[no-untyped-call]
