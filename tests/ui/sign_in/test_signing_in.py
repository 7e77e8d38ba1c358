"""Signing in by keys, and the desk that locks itself without stopping anybody from reading."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QLabel
from pytestqt.qtbot import QtBot

from formulary.drafts import Draft
from formulary.people import Post
from formulary.wording.reading import ToRead
from ui.context import Signing
from ui.formulas.page import FormulasPage
from ui.sign_in.dialog import PinDialog
from ui.sign_in.reading_list import ReadingList
from ui.window import Window

CTRL = Qt.KeyboardModifier.ControlModifier
SHIFT = Qt.KeyboardModifier.ShiftModifier
Settle = Callable[[], None]


def asked(window: Window) -> PinDialog:
    """Return the question that is open."""
    assert window.asking is not None
    assert window.asking.dialog is not None
    return window.asking.dialog


def page_of(window: Window) -> FormulasPage:
    page = window.pages["formulas"]
    assert isinstance(page, FormulasPage)
    return page


def answer(window: Window, pin: str, settle: Settle) -> None:
    QTest.keyClicks(asked(window).pin, pin)
    QTest.keyClick(asked(window).pin, Qt.Key.Key_Return)
    settle()


def test_nobody_is_signed_in_at_first_and_everything_is_read(
    counter: Window, settle: Settle
) -> None:
    assert counter.header.acting.currentText() == "Nobody is signed in"
    settle()
    assert page_of(counter).leaf.toPlainText()


def test_an_act_asks_who_is_there_and_then_goes_on(counter: Window, settle: Settle) -> None:
    QTest.keyClick(page_of(counter).search, Qt.Key.Key_N, CTRL)
    answer(counter, "3141", settle)
    assert counter.context.signed_in
    assert counter.header.acting.currentText() == "Ilse Corrander, pharmacist"
    assert page_of(counter)._is_editing


def test_a_wrong_pin_is_said_where_it_was_typed_and_can_be_typed_again(
    counter: Window, settle: Settle
) -> None:
    QTest.keyClick(page_of(counter).search, Qt.Key.Key_N, CTRL)
    answer(counter, "0000", settle)
    assert "isn't Ilse Corrander's PIN" in asked(counter).refusal.text()
    assert asked(counter).pin.text() == ""
    answer(counter, "3141", settle)
    assert counter.context.signed_in


def test_people_are_looked_through_without_choosing(counter: Window) -> None:
    QTest.keyClick(page_of(counter).search, Qt.Key.Key_N, CTRL)
    person = asked(counter).person
    person.setFocus()
    before = person.currentText()
    QTest.keyClick(person, Qt.Key.Key_Down)
    QTest.keyClick(person.view(), Qt.Key.Key_Down)
    QTest.keyClick(person.view(), Qt.Key.Key_Escape)
    assert person.currentText() == before
    assert counter.windowHandle() is not None
    assert asked(counter).focusWidget() is person


@pytest.mark.parametrize("key", [Qt.Key.Key_Return, Qt.Key.Key_Tab])
def test_enter_or_tab_chooses_who_signs_in_and_goes_on_to_the_pin(
    counter: Window, settle: Settle, key: Qt.Key
) -> None:
    QTest.keyClick(page_of(counter).search, Qt.Key.Key_N, CTRL)
    dialog = asked(counter)
    answer(counter, "0000", settle)
    dialog.person.setFocus()
    QTest.keyClicks(dialog.person, "m")
    QTest.keyClick(dialog.person.view(), key)
    assert dialog.refusal.text() == "", "what was wrong was somebody else's"
    assert dialog.person.currentText() == "Maren Odenholt, technician"
    assert dialog.focusWidget() is dialog.pin
    answer(counter, "1618", settle)
    assert counter.context.desk.person.name == "Maren Odenholt"


def test_a_refusal_is_shown_whole(counter: Window, settle: Settle) -> None:
    QTest.keyClick(page_of(counter).search, Qt.Key.Key_N, CTRL)
    for _ in range(3):
        answer(counter, "0000", settle)
        for each in asked(counter).findChildren(QLabel):
            if each.isVisible() and each.wordWrap():
                assert each.height() >= each.heightForWidth(each.width())


def test_stepping_back_does_nothing(counter: Window, settle: Settle) -> None:
    QTest.keyClick(page_of(counter).search, Qt.Key.Key_N, CTRL)
    QTest.keyClick(asked(counter), Qt.Key.Key_Escape)
    settle()
    assert not counter.context.signed_in
    assert not page_of(counter)._is_editing


def test_the_sample_house_shows_its_pins(counter: Window) -> None:
    QTest.keyClick(page_of(counter).search, Qt.Key.Key_N, CTRL)
    shown = " ".join(each.text() for each in asked(counter).findChildren(QLabel))
    assert "Ilse Corrander 3141" in shown


def test_another_person_takes_over_by_keys(qtbot: QtBot, window: Window, settle: Settle) -> None:
    QTest.keyClick(window, Qt.Key.Key_A, CTRL | SHIFT)
    names = window.header.acting.view()
    QTest.keyClicks(names, "Mar")
    QTest.keyClick(names, Qt.Key.Key_Return)
    settle()
    answer(window, "1618", settle)
    assert window.context.desk.person.post is Post.TECHNICIAN
    assert window.header.acting.currentText() == "Maren Odenholt, technician"
    qtbot.waitUntil(lambda: window.asking is not None and window.asking.dialog is None)


def test_stepping_back_leaves_the_one_who_acted(window: Window, settle: Settle) -> None:
    before = window.context.desk.person
    QTest.keyClick(window, Qt.Key.Key_A, CTRL | SHIFT)
    names = window.header.acting.view()
    QTest.keyClicks(names, "Mar")
    QTest.keyClick(names, Qt.Key.Key_Return)
    settle()
    assert window.header.acting.currentText().startswith(before.name)
    QTest.keyClick(asked(window), Qt.Key.Key_Escape)
    settle()
    assert window.context.desk.person == before
    assert window.header.acting.currentText().startswith(before.name)


def test_a_signature_asks_again_and_says_what_it_means(window: Window, settle: Settle) -> None:
    signed: list[str] = []

    def sign(_desk: object, pin: str) -> str:
        return pin

    window.context.sign("put_in_use", "Sign: this is put in use", sign, signed.append)
    assert asked(window).windowTitle() == "Sign: this is put in use"
    assert not asked(window).person.isEnabled()
    answer(window, "3141", settle)
    assert signed == ["3141"]


def test_ctrl_shift_l_locks_and_reading_goes_on(window: Window, settle: Settle) -> None:
    QTest.keyClick(window, Qt.Key.Key_L, CTRL | SHIFT)
    assert not window.context.signed_in
    assert window.header.acting.currentText() == "Nobody is signed in"
    QTest.keyClicks(page_of(window).search, "urea")
    settle()
    assert page_of(window).leaf.toPlainText()


def test_the_desk_locks_itself_after_the_house_s_minutes_without_a_touch(
    qtbot: QtBot, window: Window
) -> None:
    timer = window.auto_lock.timer
    assert timer.isActive()
    assert timer.interval() == 10 * 60_000
    timer.start(30)
    qtbot.waitUntil(lambda: not window.context.signed_in)


def test_a_touch_begins_the_minutes_anew(qtbot: QtBot, window: Window) -> None:
    timer = window.auto_lock.timer
    qtbot.waitUntil(lambda: timer.remainingTime() < timer.interval() - 200)
    QTest.keyClick(window.windowHandle(), Qt.Key.Key_A)
    assert timer.remainingTime() > timer.interval() - 200


def test_what_is_typed_while_locked_is_kept_as_a_draft(window: Window, settle: Settle) -> None:
    QTest.keyClick(page_of(window).search, Qt.Key.Key_N, CTRL)
    settle()
    window.context.lock()
    title = QApplication.focusWidget()
    assert title is not None
    QTest.keyClicks(title, "Half a thought")
    window.keep_drafts()
    settle()
    drafts = list(window.context.desk.store.every(Draft))
    assert any("Half a thought" in each.fields for each in drafts)


def test_what_is_signed_is_read_in_the_question_one_under_another(window: Window) -> None:
    texts = tuple(ToRead((f"Uso {n}.",), (f"Use {n}.",)) for n in range(13))
    window.context.signature_wanted.emit(Signing("Approve 13 wordings", lambda *_: None, texts))
    dialog = asked(window)
    (listed,) = dialog.findChildren(ReadingList)
    lines = [line.strip() for line in listed.toPlainText().splitlines() if line.strip()]
    assert lines[:4] == ["Uso 0.", "Use 0.", "Uso 1.", "Use 1."]
    assert listed.verticalScrollBar().maximum() > 0
    assert dialog.windowTitle() == "Approve 13 wordings"
    assert dialog.focusWidget() is dialog.pin
    dialog.reject()
