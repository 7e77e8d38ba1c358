"""What labels say, read, changed and approved in the settings."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QWidget

from formulary.desk import Desk
from formulary.people import Person
from formulary.verbs.wordings import book_of, wordings_in
from tests.helpers.desks import PIN, PIN_HASH
from tests.ui.at_desk import unnamed
from ui.context import Context, Signing
from ui.settings.page import SettingsPage
from ui.settings.wording_panel import WordingPanel

Show = Callable[[QWidget], None]
Settle = Callable[[], None]
CONTROL, SHIFT = Qt.KeyboardModifier.ControlModifier, Qt.KeyboardModifier.ShiftModifier
SUN = "label.warning.sun"


@pytest.fixture
def meanings(context: Context, desk: Desk) -> list[str]:
    """Let the pharmacist at the desk sign with the PIN; return what each signature meant."""
    with desk.writing("set_pin") as writing:
        me: Person = writing.put(replace(desk.person, pin_hash=PIN_HASH))
    context.seat(replace(desk, person=me))
    meant: list[str] = []

    def sign(wanted: Signing) -> None:
        meant.append(wanted.meaning)
        wanted.act(PIN, lambda: None, context.say.refuse)

    context.signature_wanted.connect(sign)
    return meant


@pytest.fixture
def panel(context: Context, show: Show, settle: Settle, meanings: list[str]) -> WordingPanel:  # noqa: ARG001
    page = SettingsPage(context)
    show(page)
    page.take("wording")
    settle()
    assert unnamed(page) == []
    return page.wording


def speak(panel: WordingPanel, language: str, settle: Settle) -> None:
    panel.language.setCurrentIndex(panel.language.findData(language))
    settle()


def come_to(panel: WordingPanel, code: str) -> None:
    rows = range(panel.list.count())
    panel.list.setCurrentRow(next(row for row in rows if panel._at(row).wording.code == code))


def test_the_house_s_language_is_approved_and_others_are_seen_to_wait(
    panel: WordingPanel, settle: Settle
) -> None:
    assert panel.count.text().startswith("0 of")
    assert "Approved by" in panel.state.text()
    speak(panel, "pl", settle)
    assert panel.list.item(0).text().startswith("Not approved:")
    assert "trial labels only" in panel.state.text()


def test_marked_wordings_are_approved_by_one_signature(
    panel: WordingPanel, desk: Desk, settle: Settle, meanings: list[str]
) -> None:
    speak(panel, "fr", settle)
    assert not panel.approve.isEnabled()
    panel.list.setFocus()
    QTest.keyClick(panel.list, Qt.Key.Key_T, CONTROL | SHIFT)
    QTest.keyClick(panel.list, Qt.Key.Key_I, CONTROL | SHIFT)
    settle()
    assert "in French read and approved" in meanings[0]
    assert None not in {each.by for each in wordings_in(desk.store, "fr")}
    (approval,) = book_of(desk.store, "fr").approvals
    assert approval.by.person == desk.person.name


def test_a_wording_is_put_in_the_house_s_words_and_waits_again(
    panel: WordingPanel, desk: Desk, settle: Settle
) -> None:
    come_to(panel, SUN)
    panel.text.setFocus()
    QTest.keyClick(panel.text.box, Qt.Key.Key_A, CONTROL)
    QTest.keyClicks(panel.text.box, "Stay out of the sun.")
    QTest.keyClick(panel.text.box, Qt.Key.Key_Return, CONTROL)
    settle()
    assert book_of(desk.store, "en").own_texts == {SUN: "Stay out of the sun."}
    assert panel.count.text().startswith("1 of")
    come_to(panel, SUN)
    panel.shipped.trigger()
    settle()
    assert panel.count.text().startswith("0 of")


def test_what_is_filled_in_cant_be_lost(panel: WordingPanel, desk: Desk, settle: Settle) -> None:
    come_to(panel, "label.says.use_by")
    panel.text.setFocus()
    QTest.keyClick(panel.text.box, Qt.Key.Key_A, CONTROL)
    QTest.keyClicks(panel.text.box, "Use soon")
    QTest.keyClick(panel.text.box, Qt.Key.Key_Return, CONTROL)
    settle()
    assert "{date}" in panel.text.note.text()
    assert not book_of(desk.store, "en").own


def test_the_english_stands_beside_what_is_put_in_other_words(
    panel: WordingPanel, settle: Settle
) -> None:
    speak(panel, "pl", settle)
    come_to(panel, SUN)
    assert panel.english.isVisible()
    assert panel.english.text() == "Keep skin out of the sun."
    speak(panel, "en", settle)
    come_to(panel, SUN)
    assert not panel.english.isVisible()


@pytest.mark.parametrize("waiting_only", [False, True])
def test_the_list_stays_where_one_is_after_an_approval(
    *, waiting_only: bool, panel: WordingPanel, settle: Settle
) -> None:
    speak(panel, "pl", settle)
    if waiting_only:
        panel.waiting_only.click()
    come_to(panel, SUN)
    row = panel.list.currentRow()
    assert row > 0
    QTest.keyClick(panel.list, Qt.Key.Key_Space)
    panel.approve.trigger()
    settle()
    settle()
    assert panel.list.currentRow() == row
    assert panel.list.viewport().rect().intersects(panel.list.visualItemRect(panel.list.item(row)))
