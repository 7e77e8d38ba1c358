"""Keeping the records in a window that is open: restoring under it, and answers that are seen."""

from __future__ import annotations

from contextlib import closing
from datetime import UTC, datetime
from pathlib import Path

import pytest
from pytestqt.qtbot import QtBot

from formulary.backups import folder_of
from formulary.records.backup import back_up
from formulary.records.schema import connected
from tests.crash.window.in_front import InFront, at_work
from tests.helpers.desks import ADA, PIN
from ui.context import PageName
from ui.settings.page import SettingsPage

NOW = datetime(2026, 3, 31, 12, tzinfo=UTC)


@pytest.fixture
def front(house: Path, qtbot: QtBot) -> InFront:
    """Return somebody in front of the section about backups, of which there is one."""
    back_up(house, folder_of(house), NOW)
    made = at_work(qtbot, house)
    made.signs_in(ADA, PIN)
    made.window.show_page(PageName.SETTINGS.value, "backups")
    made.settled()
    return made


def idle(front: InFront) -> None:
    page = front.page(SettingsPage)
    front.wait(lambda: page.backups.keeper.run is None)
    front.settled()


def test_a_backup_takes_the_place_of_the_file_that_the_window_has_open(
    front: InFront, house: Path
) -> None:
    front.press("Ctrl+L")
    idle(front)
    front.press("Ctrl+Shift+R")
    front.answer(PIN)
    assert front.refused() == ""
    assert "is now the formulary" in front.told()
    last = front.window.context.desk.store.last_entry()
    assert last is not None
    assert last.verb == "restore"
    assert len([*house.parent.glob("*.replaced-*")]) == 1


def test_where_another_window_has_it_open_that_is_said(front: InFront, house: Path) -> None:
    front.press("Ctrl+L")
    idle(front)
    with closing(connected(house)) as other:
        other.execute("SELECT count(*) FROM history").fetchone()
        front.press("Ctrl+Shift+R")
        asked = front.answer(PIN)
        front.wait(asked.refusal.text)
    assert "Close every window" in asked.refusal.text()


def test_opening_the_settings_takes_no_key_from_the_window(front: InFront) -> None:
    assert front.window.isActiveWindow()
    page = front.page(SettingsPage)
    page.sections.setFocus()
    front.press("Ctrl+Shift+R")
    front.wait(front.refused)
    assert "Look into the backup first" in front.refused()


def test_what_a_check_finds_wrong_is_said_with_its_sign_where_it_is_seen(
    front: InFront, house: Path
) -> None:
    with closing(connected(house)) as connection, connection:
        connection.execute("DROP TRIGGER history_no_update")
        connection.execute("UPDATE history SET person = 'Nobody' WHERE number = 2")
    page = front.page(SettingsPage)
    page.sections.setFocus()
    front.press("Ctrl+Shift+V")
    idle(front)
    assert "Entry 2 of the history isn't what was written." in front.refused()
    found = page.backups.choice.found
    front.wait(lambda: not found.visibleRegion().isEmpty())
    assert found.text().startswith("Stop: ")


def test_a_backup_that_is_made_on_schedule_is_listed(front: InFront) -> None:
    page = front.page(SettingsPage)
    page.backups.keeper.back_up()
    idle(front)
    assert page.backups.choice.list.count() == 2
