"""The key of the names in the window: missed aloud, copied, taken over; names put under one."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path

import pytest
from PySide6.QtCore import QCoreApplication, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QPushButton, QWidget
from pytestqt.qtbot import QtBot

from formulary.desk import Desk
from formulary.opening import create_house, open_desk
from formulary.people import Identity, Part, Person, Post
from formulary.records.name_key import key_file, write_copy
from tests.helpers.desks import ADA, PIN
from tests.helpers.formulas import a_house
from tests.helpers.kept import ACT
from tests.ui.file_questions import choose_file
from ui import theme
from ui.context import Context, Signing, Topic
from ui.keeping.key_strip import KeyStrip
from ui.settings.page import SettingsPage

Show = Callable[[QWidget], None]
Settle = Callable[[], None]
NAME = "Ottoline Zimtsternchen"
RAE = Person("p-rae", "Rae Lund", Post.READER)


@pytest.fixture
def file(tmp_path: Path) -> Path:
    """Return a house as the program begins it, with one name in it."""
    path = tmp_path / "house.misce"
    store = create_house(path, a_house(), ADA).store
    with store.writing(ACT, "note") as writing:
        writing.put(RAE)
        writing.put(Identity("x-9", Part.PATIENT, NAME))
    store.close()
    return path


@pytest.fixture
def desk(file: Path) -> Desk:
    return replace(open_desk(file, ADA.name), signed_in=True)


@pytest.fixture
def context(desk: Desk, file: Path, qapp: QApplication) -> Iterator[Context]:
    QCoreApplication.setOrganizationName("misce")
    QCoreApplication.setApplicationName("misce")
    theme.apply(qapp, type_factor=1.0, dark=False)
    made = Context()
    made.location = str(file)
    made.sit_down(desk, desk.house, tuple(desk.store.every(Person)))
    made.signature_wanted.connect(lambda asked: sign(made, asked))
    yield made
    made.leave()


def sign(context: Context, asked: Signing) -> None:
    """Type the PIN whenever it is asked for."""
    asked.act(PIN, lambda: None, context.say.refuse)


@pytest.fixture
def strip(context: Context, qtbot: QtBot) -> Iterator[KeyStrip]:
    over = QWidget()
    qtbot.addWidget(over)
    made = KeyStrip(context, over)
    over.show()
    yield made
    over.close()


@pytest.fixture
def page(context: Context, show: Show) -> SettingsPage:
    made = SettingsPage(context)
    show(made)
    made.take("backups")
    return made


def press(place: QWidget, words: str) -> None:
    """Click the button with these words."""
    (wanted,) = (each for each in place.findChildren(QPushButton) if each.text().startswith(words))
    assert wanted.isEnabled()
    QTest.mouseClick(wanted, Qt.MouseButton.LeftButton)


def test_the_strip_asks_for_a_copy_until_one_was_saved(
    strip: KeyStrip,
    context: Context,
    settle: Settle,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    assert strip.isVisible()
    assert "only this computer has" in strip.said.text()
    copy = tmp_path / "apart.key"
    choose_file(monkeypatch, copy)
    press(strip, "Save a copy of the key")
    settle()
    assert key_file().read_text("utf-8").strip() in copy.read_text("utf-8")
    assert strip.isHidden()
    assert context.house.names_key_saved


def test_on_a_computer_without_the_key_it_is_taken_over(
    strip: KeyStrip,
    context: Context,
    settle: Settle,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    copy = tmp_path / "apart.key"
    write_copy(context.house.names_key, copy)
    key_file().unlink()
    strip.show_state()
    assert "isn’t on this computer" in strip.said.text()
    choose_file(monkeypatch, copy)
    press(strip, "Take over a key")
    settle()
    assert [each.name for each in context.desk.store.every(Identity)] == [NAME]
    assert "only this computer" in strip.said.text(), "nobody said that a copy is kept apart"


def test_later_puts_it_off(strip: KeyStrip) -> None:
    press(strip, "Later")
    assert strip.isHidden()


def test_a_file_that_is_no_key_is_refused(
    strip: KeyStrip,
    context: Context,
    settle: Settle,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    key_file().unlink()
    strip.show_state()
    wrong = tmp_path / "letter.txt"
    wrong.write_text("Dear colleague,", "utf-8")
    choose_file(monkeypatch, wrong)
    press(strip, "Take over a key")
    settle()
    assert context.say.history[-1].message.key == "store.names.not_a_key"
    assert not key_file().exists()


def test_a_reader_carries_no_key(context: Context, desk: Desk, page: SettingsPage) -> None:
    names = page.backups.names
    assert names.save.isEnabled()
    context.seat(replace(desk, person=RAE))
    assert not names.save.isEnabled()
    assert not names.take.isEnabled()


def test_names_of_a_house_from_before_are_put_under_the_key(
    context: Context, desk: Desk, file: Path, page: SettingsPage, settle: Settle
) -> None:
    with desk.writing("save_house") as writing:
        writing.put(replace(desk.house, names_key=""))
        for each in writing.every(Identity):
            writing.put(each)
    context.tell_changed(Topic.HOUSE)
    settle()
    names = page.backups.names
    assert "can be read by whoever has the file" in names.state.text()
    press(names, "Put names under a key")
    settle()
    assert "only this computer has" in names.state.text()
    assert not names.lock.isEnabled()
    desk.store.close()
    assert NAME not in file.read_bytes().decode("latin-1")
