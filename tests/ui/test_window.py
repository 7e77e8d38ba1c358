"""What the window does for every page: help, keys, who acts, and what nobody caught."""

from __future__ import annotations

import sys
from collections.abc import Callable
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from formulary.people import Post
from formulary.resources import resource_path
from ui import last_resort
from ui.context import PageName
from ui.window import Window

CTRL = Qt.KeyboardModifier.ControlModifier
SHIFT = Qt.KeyboardModifier.ShiftModifier


def test_each_page_has_its_help(window: Window) -> None:
    pages = [window.page(name.value) for name in PageName]
    names = [each.help_page for each in pages]
    missing = [name for name in names if not resource_path("help", "en", f"{name}.md").is_file()]
    assert missing == []


def test_f1_opens_the_help_and_escape_gives_the_focus_back(window: Window) -> None:
    before = window.focusWidget()
    QTest.keyClick(window, Qt.Key.Key_F1)
    assert window._help is not None
    assert window._help.isVisible()
    assert "Formulas" in window._help.text.toPlainText()
    QTest.keyClick(window._help.text, Qt.Key.Key_Escape)
    assert not window._help.isVisible()
    assert window.focusWidget() is before


def test_the_sheet_of_keys_lists_what_can_be_done_here(window: Window) -> None:
    window._show_keys()
    assert window._help is not None
    sheet = window._help.text.toPlainText()
    for keys in ("Ctrl+K", "Ctrl+Return", "Ctrl+E", "F1", "="):
        assert keys in sheet


def test_the_person_chosen_acts_from_then_on(window: Window, settle: Callable[[], None]) -> None:
    acting = window.header.acting
    people = window.context.people
    technician = next(each for each in people if each.post is Post.TECHNICIAN)
    acting.setFocus()
    QTest.keyClicks(acting, technician.name[:3])
    acting.activated.emit(acting.currentIndex())
    settle()
    assert window.asking is not None
    assert window.asking.dialog is not None
    QTest.keyClicks(window.asking.dialog.pin, "1618")
    QTest.keyClick(window.asking.dialog.pin, Qt.Key.Key_Return)
    settle()
    assert window.context.desk.person == technician


@pytest.mark.parametrize("key", [Qt.Key.Key_Return, Qt.Key.Key_Escape])
def test_the_list_of_people_gives_the_focus_back(
    window: Window, settle: Callable[[], None], key: Qt.Key
) -> None:
    before = window.focusWidget()
    QTest.keyClick(window, Qt.Key.Key_A, CTRL | SHIFT)
    settle()
    assert window.header.acting.view().hasFocus()
    QTest.keyClick(window.header.acting.view(), key)
    settle()
    assert window.focusWidget() is before


def test_what_nobody_caught_is_a_sentence_and_keeps_no_data(
    window: Window, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    log = tmp_path / "misce.log"
    monkeypatch.setattr(last_resort, "written_to_log", lambda _: log)
    kept: list[bool] = []
    monkeypatch.setattr(sys, "excepthook", sys.excepthook)
    last_resort.catch(window.context.say, lambda: kept.append(True))
    error = ValueError("for Anna Patient")
    sys.excepthook(ValueError, error, None)
    assert "Anna" not in last_resort.places(error)
    assert kept == [True]
    assert str(log) in window.speech.refusal()


def test_what_was_said_on_one_page_is_not_said_on_another(window: Window) -> None:
    window.context.say.tell("ui_settings.saved")
    assert window.speech.news()
    QTest.keyClick(window, Qt.Key.Key_2, CTRL)
    assert window.speech.news() == ""
