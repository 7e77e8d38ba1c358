"""Names in Settings: put under a key, the key copied and taken over; a missing copy is said."""

from __future__ import annotations

import shutil
from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path

import pytest
from PySide6.QtCore import QCoreApplication
from PySide6.QtWidgets import QApplication, QWidget
from pytestqt.qtbot import QtBot

from formulary.desk import Desk
from formulary.errors import StoreTrouble
from formulary.names_key import is_copied, key_file
from formulary.opening import open_desk
from formulary.people import Identity, Part, Person
from tests.ui.at_desk import plain
from tests.ui.file_questions import choose_file
from ui import theme
from ui.context import Context
from ui.keeping.keeper import Keeper
from ui.keeping.strip import KeepingStrip
from ui.settings.names_panel import NamesPanel
from ui.settings.page import SettingsPage

Show = Callable[[QWidget], None]
Settle = Callable[[], None]
ADMINISTRATOR, PIN = "Nils Harrowgate", "6931"
NAME = "Ottoline Zimtsternchen"


@pytest.fixture
def desk(sample_file: Path, tmp_path: Path) -> Desk:
    """Sit the administrator down at a house in a file, with one name in it."""
    file = Path(shutil.copy(sample_file, tmp_path / "house.misce"))
    made = replace(open_desk(file, ADMINISTRATOR), signed_in=True)
    with made.writing("save_house") as writing:
        writing.put(Identity("x-9", Part.PATIENT, NAME))
    return made


@pytest.fixture
def context(desk: Desk, tmp_path: Path, qapp: QApplication) -> Iterator[Context]:
    QCoreApplication.setOrganizationName("misce")
    QCoreApplication.setApplicationName("misce")
    theme.apply(qapp, type_factor=1.0, dark=False)
    made = Context()
    made.location = str(tmp_path / "house.misce")
    made.sit_down(desk, desk.house, tuple(desk.store.every(Person)))
    made.signature_wanted.connect(lambda wanted: wanted.act(PIN, lambda: None, made.say.refuse))
    yield made
    made.leave()


@pytest.fixture
def panel(context: Context, show: Show, settle: Settle) -> NamesPanel:
    page = SettingsPage(context)
    show(page)
    page.take("backups")
    settle()
    return page.backups.names


def told(context: Context) -> str:
    return plain(context.said(context.say.history[-1].message))


def test_names_go_under_a_key_and_the_key_is_copied_with_a_pin(
    panel: NamesPanel,
    context: Context,
    settle: Settle,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    assert "can read names" in plain(panel.state.text())
    assert panel.warning.isHidden()
    panel.lock.trigger()
    settle()
    assert "under a key of this computer" in plain(panel.state.text())
    assert "There is no copy of this key yet." in plain(panel.warning.text())
    assert not panel.lock.isEnabled()
    copy = tmp_path / "apart" / "key.txt"
    choose_file(monkeypatch, copy)
    panel.copy.trigger()
    settle()
    assert is_copied()
    assert copy.read_text() == key_file().read_text()
    assert str(copy) in told(context)
    assert panel.warning.isHidden()
    newest = context.desk.store.last_entry()
    assert newest is not None
    assert (newest.verb, newest.act.person) == ("copy_names_key", ADMINISTRATOR)


def test_a_lost_key_is_said_and_taken_over_from_its_copy(
    panel: NamesPanel,
    context: Context,
    settle: Settle,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    copy, other = tmp_path / "key.txt", tmp_path / "a list.txt"
    other.write_text("zinc oxide", "utf-8")
    panel.lock.trigger()
    settle()
    choose_file(monkeypatch, copy)
    panel.copy.trigger()
    settle()
    key_file().unlink()
    panel.begin()
    settle()
    assert "isn’t on this computer" in plain(panel.warning.text())
    with pytest.raises(StoreTrouble):
        context.desk.store.every(Identity)
    choose_file(monkeypatch, other)
    panel.take.trigger()
    settle()
    assert context.say.history[-1].message.key == "store.names.no_key_in"
    choose_file(monkeypatch, copy)
    panel.take.trigger()
    settle()
    assert "it opens" in told(context)
    assert panel.warning.isHidden()
    assert [each.name for each in context.desk.store.every(Identity)] == [NAME]


@pytest.fixture
def strip(panel: NamesPanel, context: Context, desk: Desk, qtbot: QtBot) -> KeepingStrip:
    """Return the strip of a house that is no sample, with a backup made just now."""
    keeper = Keeper.of(context)
    made = KeepingStrip(context, keeper, panel)
    with desk.writing("save_house") as writing:
        writing.put(replace(desk.house, sample=False, backups=None))
    context._house = desk.house
    keeper.back_up()
    qtbot.waitUntil(lambda: keeper.run is None, timeout=20_000)
    return made


def test_a_key_without_a_copy_is_said_above_every_page_until_there_is_one(
    panel: NamesPanel,
    strip: KeepingStrip,
    qtbot: QtBot,
    settle: Settle,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    assert strip.isHidden()
    panel.lock.trigger()
    settle()
    assert "There is no copy of this key yet." in plain(strip.old.text())
    with qtbot.waitSignal(panel.context.page_wanted) as went:
        strip.to_key.trigger()
    assert went.args == ["settings", "backups"]
    choose_file(monkeypatch, tmp_path / "key.txt")
    panel.copy.trigger()
    settle()
    assert strip.isHidden()
