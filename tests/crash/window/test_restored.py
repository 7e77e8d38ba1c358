"""A formulary that won't open: the window says why, and puts a backup in its place."""

from __future__ import annotations

import shutil
import threading
from collections.abc import Callable
from contextlib import closing
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from pytestqt.qtbot import QtBot

from formulary.backups import folder_of
from formulary.records.backup import back_up
from formulary.records.schema import connected
from tests.crash.spoilt import FAULTS, damaged
from tests.crash.window.in_front import InFront, begun
from tests.helpers.desks import PIN
from tests.ui.at_desk import plain, unnamed
from tests.ui.file_questions import choose_file
from ui import places
from ui.first_start.not_open import NotOpenPage
from ui.first_start.page import FirstStartPage

NOW = datetime(2026, 3, 31, 12, tzinfo=UTC)
HEADER = 100
"""So many bytes say how SQLite keeps the file, which is closed off before it is moved."""
PHRASE = "correct horse battery"


@pytest.fixture
def kept(house: Path) -> Path:
    """Return the folder beside the house with a backup of yesterday and one of today."""
    folder = folder_of(house)
    for at in (NOW - timedelta(days=1), NOW):
        back_up(house, folder, at)
    return folder


def not_open(front: InFront) -> NotOpenPage:
    """Wait until the backups that need no passphrase were tried, and return the page."""
    page = front.page(NotOpenPage)
    front.wait(lambda: page.choice.keeper.run is None)
    return page


def lines(page: NotOpenPage) -> list[str]:
    return [plain(page.choice.list.item(row).text()) for row in range(page.choice.list.count())]


def aside(house: Path) -> list[Path]:
    return [*house.parent.glob("*.replaced-*")]


@pytest.mark.parametrize("spoil", [spoil for spoil, _ in FAULTS])
@pytest.mark.usefixtures("kept")
def test_a_backup_takes_the_place_of_what_won_t_open(
    house: Path, spoil: Callable[[Path], None], qtbot: QtBot
) -> None:
    spoil(house)
    spoilt = house.read_bytes()
    front = begun(qtbot, house)
    page = not_open(front)
    assert str(house) in page.why.text()
    assert unnamed(page) == []
    newest, before = lines(page)
    assert newest.startswith("31 Mar 2026")
    assert before.startswith("30 Mar 2026")
    assert all(each.endswith("all of it is as it was kept") for each in (newest, before))
    assert "It holds 1 formulas" in page.choice.found.text()
    assert "The newest entry is of" in page.choice.found.text()
    front.press("Ctrl+Shift+R")
    front.answer(PIN)
    front.wait(lambda: front.window.context.is_open)
    front.settled()
    assert "is now the formulary" in front.told()
    (replaced,) = aside(house)
    assert replaced.read_bytes()[HEADER:] == spoilt[HEADER:]
    assert str(replaced) in front.told()
    last = front.window.context.desk.store.last_entry()
    assert last is not None
    assert last.verb == "restore"


@pytest.mark.usefixtures("kept")
def test_a_wrong_pin_replaces_nothing_and_is_asked_for_again(house: Path, qtbot: QtBot) -> None:
    damaged(house)
    spoilt = house.read_bytes()
    front = begun(qtbot, house)
    not_open(front)
    front.press("Ctrl+Shift+R")
    asked = front.answer("1111")
    assert "PIN" in asked.refusal.text()
    assert house.read_bytes() == spoilt
    assert aside(house) == []
    front.answer(PIN)
    front.wait(lambda: front.window.context.is_open)


def test_a_backup_that_was_changed_from_outside_is_told_from_the_good_one(
    house: Path, kept: Path, qtbot: QtBot
) -> None:
    changed = max(kept.iterdir())
    with closing(connected(changed)) as connection, connection:
        connection.execute("DROP TRIGGER history_no_update")
        connection.execute("UPDATE history SET person = 'Nobody' WHERE number = 2")
    damaged(house)
    front = begun(qtbot, house)
    page = not_open(front)
    newest, before = lines(page)
    assert newest.endswith("it can’t be put in place")
    assert before.endswith("all of it is as it was kept")
    assert "Entry 2 of the history isn't what was written." in page.choice.found.text()
    assert not page.restore.isEnabled()
    front.press("Down")
    assert page.restore.isEnabled()
    front.press("Return")
    front.answer(PIN)
    front.wait(lambda: front.window.context.is_open)


def test_one_under_a_passphrase_is_tried_with_it(house: Path, qtbot: QtBot) -> None:
    back_up(house, folder_of(house), NOW, PHRASE)
    damaged(house)
    front = begun(qtbot, house)
    page = not_open(front)
    (line,) = lines(page)
    assert line.endswith("under a passphrase")
    page.choice.phrase.setFocus()
    assert not page.restore.isEnabled()
    front.type(PHRASE)
    front.press("Ctrl+L")
    front.wait(page.restore.isEnabled)
    front.press("Ctrl+Shift+R")
    front.answer(PIN)
    front.wait(lambda: front.window.context.is_open)


def test_a_backup_from_elsewhere_is_chosen(
    house: Path, tmp_path: Path, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    stick = tmp_path / "stick"
    made = back_up(house, stick, NOW)
    letter = stick / "letter.txt"
    letter.write_text("Dear diary, " * 500)
    damaged(house)
    front = begun(qtbot, house)
    page = not_open(front)
    assert "There is no backup in" in page.choice.none.text()
    choose_file(monkeypatch, letter)
    page.choice.other.trigger()
    front.wait(lambda: page.choice.keeper.run is None and page.choice.found.text())
    assert "There is no formulary in" in page.choice.found.text()
    assert not page.restore.isEnabled()
    choose_file(monkeypatch, stick / made.name)
    page.choice.other.trigger()
    front.wait(page.restore.isEnabled)
    front.press("Ctrl+Shift+R")
    front.answer(PIN)
    front.wait(lambda: front.window.context.is_open)


@pytest.mark.usefixtures("kept")
def test_what_was_open_last_and_is_gone_is_missed_and_comes_back(house: Path, qtbot: QtBot) -> None:
    places.remember(str(house))
    house.unlink()
    front = begun(qtbot, "")
    page = not_open(front)
    assert "There is no formulary at" in page.why.text()
    front.press("Ctrl+Shift+R")
    front.answer(PIN)
    front.wait(lambda: front.window.context.is_open)
    assert aside(house) == []


def test_backups_are_looked_for_where_the_house_kept_them(
    house: Path, tmp_path: Path, qtbot: QtBot
) -> None:
    back_up(house, tmp_path / "safe", NOW)
    places.remember(str(house), str(tmp_path / "safe"))
    damaged(house)
    page = not_open(begun(qtbot, ""))
    assert len(lines(page)) == 1


@pytest.mark.usefixtures("kept")
def test_the_trying_can_be_ended_and_leaves_nothing_behind(
    house: Path, tmp_path: Path, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    scratch = tmp_path / "scratch"
    scratch.mkdir()
    monkeypatch.setattr("tempfile.tempdir", str(scratch))
    copied = threading.Event()
    copy = shutil.copyfile

    def slowly(*places: Path) -> object:
        copied.wait()
        return copy(*places)

    monkeypatch.setattr(shutil, "copyfile", slowly)
    damaged(house)
    front = begun(qtbot, house)
    page = front.page(NotOpenPage)
    run = page.choice.keeper.run
    assert run is not None
    run.cancel()
    copied.set()
    front.wait(lambda: page.choice.keeper.run is None)
    assert not any(each.endswith("as it was kept") for each in lines(page))
    assert [*scratch.iterdir()] == []
    front.press("Return")
    front.wait(page.restore.isEnabled)


@pytest.mark.usefixtures("kept")
def test_another_is_opened_instead_and_the_way_back_stays(house: Path, qtbot: QtBot) -> None:
    damaged(house)
    front = begun(qtbot, house)
    not_open(front)
    front.press("Ctrl+O")
    first = front.page(FirstStartPage)
    assert f"Put a backup in the place of {house.name}" in first.restore.text()
    front.press("Ctrl+Shift+R")
    page = not_open(front)
    assert page.why.isHidden()
    assert page.restore.isEnabled()
