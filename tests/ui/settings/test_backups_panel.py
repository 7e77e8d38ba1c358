"""Backups in Settings: made now, looked into, put in place; the records checked; one is missed."""

from __future__ import annotations

import shutil
from collections.abc import Callable, Iterator
from contextlib import closing
from dataclasses import replace
from pathlib import Path

import pytest
from PySide6.QtCore import QCoreApplication, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QWidget
from pytestqt.qtbot import QtBot

from formulary.backups import BackupPlan
from formulary.desk import Desk
from formulary.house import House
from formulary.opening import open_desk
from formulary.people import Person
from formulary.records.schema import connected
from tests.ui.at_desk import plain
from ui import theme
from ui.context import Context, Signing
from ui.keeping.keeper import Keeper
from ui.keeping.strip import KeepingStrip
from ui.settings.backups_panel import BackupsPanel
from ui.settings.page import SettingsPage

Show = Callable[[QWidget], None]
ADMINISTRATOR, PIN = "Nils Harrowgate", "6931"
CTRL, SHIFT = Qt.KeyboardModifier.ControlModifier, Qt.KeyboardModifier.ShiftModifier


@pytest.fixture
def file(sample_file: Path, tmp_path: Path) -> Path:
    return Path(shutil.copy(sample_file, tmp_path / "house.misce"))


@pytest.fixture
def desk(file: Path) -> Desk:
    """Sit the administrator down at a house in a file."""
    return replace(open_desk(file, ADMINISTRATOR), signed_in=True)


@pytest.fixture
def context(desk: Desk, file: Path, qapp: QApplication) -> Iterator[Context]:
    QCoreApplication.setOrganizationName("misce")
    QCoreApplication.setApplicationName("misce")
    theme.apply(qapp, type_factor=1.0, dark=False)
    made = Context()
    made.location = str(file)
    made.sit_down(desk, desk.house, tuple(desk.store.every(Person)))
    yield made
    made.leave()


@pytest.fixture
def page(context: Context, show: Show) -> SettingsPage:
    made = SettingsPage(context)
    show(made)
    made.take("backups")
    return made


def press(panel: BackupsPanel, qtbot: QtBot, key: Qt.Key, modifiers: Qt.KeyboardModifier) -> str:
    """Press a key, wait for what it began, and return what is said then."""
    panel.enter()
    QTest.keyClick(panel.focusWidget(), key, modifiers)
    qtbot.waitUntil(lambda: panel.keeper.run is None, timeout=20_000)
    return plain(panel.choice.found.text())


def a_real_house(context: Context, desk: Desk, settle: Callable[[], None]) -> None:
    """Let the house be no sample any more."""
    with desk.writing("save_house") as writing:
        writing.put(replace(desk.house, sample=False))
    context._house = desk.house
    settle()


def test_a_backup_is_made_now_and_says_what_it_holds(page: SettingsPage, qtbot: QtBot) -> None:
    panel = page.backups
    assert panel.choice.list.count() == 0
    assert "no backup" in panel.choice.none.text()
    press(panel, qtbot, Qt.Key.Key_B, CTRL)
    assert panel.choice.list.count() == 1
    assert len(panel.keeper.backups) == 1
    assert panel.choice.sound is None
    said = press(panel, qtbot, Qt.Key.Key_L, CTRL)
    assert "formulas" in said
    assert "as they were kept" in said
    assert panel.choice.sound is not None


def test_a_backup_under_a_passphrase_is_looked_into_with_it_only(
    page: SettingsPage, qtbot: QtBot, context: Context
) -> None:
    panel = page.backups
    panel.choice.phrase.setText("correct horse")
    press(panel, qtbot, Qt.Key.Key_B, CTRL)
    assert context.say.history[-1].message.key == "ui_keeping.phrases_differ"
    assert panel.choice.list.count() == 0
    panel.again.setText("correct horse")
    press(panel, qtbot, Qt.Key.Key_B, CTRL)
    assert panel.choice.phrase.text() == ""
    assert "under a passphrase" in panel.choice.list.item(0).text()
    panel.choice.phrase.setText("battery staple")
    press(panel, qtbot, Qt.Key.Key_L, CTRL)
    assert context.say.history[-1].message.key == "store.backup.wrong_passphrase"
    assert panel.choice.sound is None
    panel.choice.phrase.setText("correct horse")
    assert "formulas" in press(panel, qtbot, Qt.Key.Key_L, CTRL)


def test_a_backup_takes_the_formulary_s_place_by_a_signature(
    page: SettingsPage, qtbot: QtBot, context: Context, desk: Desk, settle: Callable[[], None]
) -> None:
    panel = page.backups
    press(panel, qtbot, Qt.Key.Key_B, CTRL)
    with desk.writing("save_house") as writing:
        writing.put(replace(desk.house, telephone="555 0199"))
    press(panel, qtbot, Qt.Key.Key_L, CTRL)
    context.signature_wanted.connect(
        lambda wanted: wanted.act(PIN, lambda: None, context.say.refuse)
    )
    press(panel, qtbot, Qt.Key.Key_R, CTRL | SHIFT)
    settle()
    assert "is now the formulary" in panel.choice.found.text()
    (house,) = desk.store.every(House)
    assert house.telephone != "555 0199"
    newest = desk.store.last_entry()
    assert newest is not None
    assert (newest.verb, newest.act.person) == ("restore", ADMINISTRATOR)


def test_a_wrong_pin_puts_nothing_in_place(
    page: SettingsPage, qtbot: QtBot, context: Context, file: Path, settle: Callable[[], None]
) -> None:
    panel = page.backups
    press(panel, qtbot, Qt.Key.Key_B, CTRL)
    press(panel, qtbot, Qt.Key.Key_L, CTRL)
    wanted: list[Signing] = []
    context.signature_wanted.connect(wanted.append)
    press(panel, qtbot, Qt.Key.Key_R, CTRL | SHIFT)
    settle()
    wanted[0].act("0000", lambda: None, context.say.refuse)
    settle()
    assert context.say.history[-1].message.key == "people.wrong_pin"
    assert not [*file.parent.glob("*.replaced-*")]


def test_the_records_are_checked_and_where_they_break_is_said(
    page: SettingsPage, qtbot: QtBot, file: Path
) -> None:
    panel = page.backups
    said = press(panel, qtbot, Qt.Key.Key_V, CTRL | SHIFT)
    assert "as they were kept" in said
    with closing(connected(file)) as connection, connection:
        connection.execute("DROP TRIGGER history_no_update")
        connection.execute("UPDATE history SET person = 'Nobody' WHERE number = 1")
    said = press(panel, qtbot, Qt.Key.Key_V, CTRL | SHIFT)
    assert "Entry 1 of the history isn't what was written." in said
    assert "changed from outside" in said


def test_when_and_where_is_a_setting_of_the_house(
    page: SettingsPage, desk: Desk, settle: Callable[[], None], tmp_path: Path
) -> None:
    inputs = page.backups.form.inputs
    typed = {"backup_every_hours": "0", "backup_daily_at": "18:30", "backup_folder": str(tmp_path)}
    for name, text in typed.items():
        inputs[name].setFocus()
        line = page.focusWidget()
        QTest.keyClick(line, Qt.Key.Key_A, CTRL)
        QTest.keyClicks(line, text)
    QTest.keyClick(page, Qt.Key.Key_S, CTRL)
    settle()
    assert desk.house.backups == BackupPlan(every_hours=0, daily_at="18:30", folder=str(tmp_path))


def test_an_old_backup_is_missed_aloud_until_there_is_a_new_one(
    context: Context, desk: Desk, qtbot: QtBot, settle: Callable[[], None]
) -> None:
    keeper = Keeper.of(context)
    window = QWidget()
    qtbot.addWidget(window)
    strip = KeepingStrip(context, keeper, window)
    assert strip.isHidden()
    a_real_house(context, desk, settle)
    strip.show_state()
    assert not strip.isHidden()
    assert "no backup" in strip.old.text()
    strip.now.trigger()
    assert not strip.bar.isHidden()
    qtbot.waitUntil(lambda: keeper.run is None, timeout=20_000)
    assert strip.isHidden()


def ended(keeper: Keeper, qtbot: QtBot) -> int:
    """Wait until nothing is being made, and return how many backups there are."""
    qtbot.waitUntil(lambda: keeper.run is None, timeout=20_000)
    return len(keeper.backups)


def test_one_that_is_due_is_made_by_itself_and_can_be_ended(
    context: Context, desk: Desk, qtbot: QtBot, settle: Callable[[], None]
) -> None:
    keeper = Keeper.of(context)
    keeper.look()
    assert ended(keeper, qtbot) == 0, "a sample pharmacy needs none"
    a_real_house(context, desk, settle)
    keeper.look()
    begun = keeper.run
    assert begun is not None
    begun.cancel()
    assert ended(keeper, qtbot) == 0
    keeper.look()
    assert ended(keeper, qtbot) == 1
    keeper.look()
    assert ended(keeper, qtbot) == 1


def test_the_window_s_end_waits_for_the_backup_at_closing(
    context: Context, desk: Desk, qtbot: QtBot
) -> None:
    keeper = Keeper.of(context)
    closed: list[bool] = []
    assert not keeper.before_closing(lambda: closed.append(True))
    with desk.writing("save_house") as writing:
        plan = BackupPlan(at_closing=True)
        writing.put(replace(desk.house, sample=False, backups=plan))
    context._house = desk.house
    assert keeper.before_closing(lambda: closed.append(True))
    assert closed == []
    qtbot.waitUntil(lambda: closed == [True], timeout=20_000)
    assert len(keeper.backups) == 1


def test_until_the_formulary_is_open_no_backup_of_it_is_due(file: Path, qapp: QApplication) -> None:
    assert qapp is not None
    made = Context()
    made.location = str(file)
    keeper = Keeper.of(made)
    keeper.look()
    assert keeper.run is None
    assert not keeper.is_overdue
