"""Instruments, training and the rule for small batches in Settings, by keys."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QComboBox, QLineEdit, QWidget

from formulary.desk import Desk
from formulary.house import BenchTask, Instrument, InstrumentKind, Training
from formulary.people import Person
from tests.ui.at_desk import unnamed
from ui.context import Context
from ui.forms.record_table import RecordTable
from ui.settings.page import SettingsPage

Show = Callable[[QWidget], None]
Settle = Callable[[], None]
CTRL = Qt.KeyboardModifier.ControlModifier
METER = Instrument("pH meter, window", InstrumentKind.PH_METER, date(2026, 12, 31))


@pytest.fixture
def page(context: Context, show: Show) -> SettingsPage:
    made = SettingsPage(context)
    show(made)
    return made


def table_of(page: SettingsPage, name: str) -> RecordTable:
    """Go to a section and return its table."""
    page.take(name)
    found = page.tables[name]
    assert isinstance(found, RecordTable)
    found.enter()
    return found


def add(table: RecordTable, *texts: str) -> None:
    """Add a row by keys: type into each cell, or choose in it; an empty text passes one over."""
    QTest.keyClick(table.table, Qt.Key.Key_Insert)
    for column, text in enumerate(texts):
        if column:
            QTest.keyClick(table.table, Qt.Key.Key_Right)
            QTest.keyClick(table.table, Qt.Key.Key_Return)
        editor = QApplication.focusWidget()
        if isinstance(editor, QComboBox):
            editor.setCurrentText(text or editor.currentText())
        else:
            assert isinstance(editor, QLineEdit)
            editor.selectAll()
            QTest.keyClicks(editor, text)
        QTest.keyClick(editor, Qt.Key.Key_Return)
        QApplication.processEvents()


def save(page: SettingsPage, settle: Settle) -> None:
    QTest.keyClick(page, Qt.Key.Key_S, CTRL)
    settle()


def test_an_instrument_is_added_with_its_use_and_the_day_it_is_due(
    page: SettingsPage, desk: Desk, settle: Settle
) -> None:
    table = table_of(page, "instruments")
    add(table, METER.name, "pH meter", "2026-12-31")
    save(page, settle)
    assert desk.house.instruments[-1] == METER


def test_a_day_that_is_none_is_said_and_nothing_is_saved(
    page: SettingsPage, desk: Desk, settle: Settle
) -> None:
    table = table_of(page, "instruments")
    add(table, METER.name, "", "next year")
    assert table.trouble.text()
    save(page, settle)
    assert METER.name not in {each.name for each in desk.house.instruments}


def test_a_training_is_for_a_person_a_task_and_until_a_day(
    page: SettingsPage, desk: Desk, settle: Settle
) -> None:
    maren = next(each for each in desk.store.every(Person) if each.name == "Maren Odenholt")
    table = table_of(page, "trainings")
    add(table, maren.name, "liquid preparations", "2027-01-31")
    save(page, settle)
    wanted = Training(maren.id, BenchTask.LIQUIDS, date(2027, 1, 31))
    assert desk.house.trainings[-1] == wanted


def test_a_training_needs_its_day(page: SettingsPage, desk: Desk, settle: Settle) -> None:
    table = table_of(page, "trainings")
    kept = desk.house.trainings
    add(table, "", "", "soon")
    save(page, settle)
    assert desk.house.trainings == kept


def test_the_rule_for_small_batches_has_a_name_and_how_many_may_lie_outside(
    page: SettingsPage, desk: Desk, settle: Settle
) -> None:
    page.take("weighing")
    for name, text in (("small_batch_rule", "House rule S-1"), ("small_batch_outside", "1")):
        field = page.weighing.inputs[name]
        field.setFocus()
        editor = QApplication.focusWidget()
        assert isinstance(editor, QLineEdit)
        editor.selectAll()
        QTest.keyClicks(editor, text)
    save(page, settle)
    assert (desk.house.small_batch_rule, desk.house.small_batch_outside) == ("House rule S-1", 1)


@pytest.mark.parametrize("name", ["instruments", "trainings"])
def test_every_part_has_a_name_for_a_screen_reader(page: SettingsPage, name: str) -> None:
    table_of(page, name)
    assert unnamed(page) == []
