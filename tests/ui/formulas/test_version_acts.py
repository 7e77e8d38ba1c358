"""Moving a version through its states by the buttons under the leaf."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QPushButton, QTextBrowser

from formulary.exchange.sample_house import sample_pins
from formulary.formula.content import Evidence, Period, Span
from formulary.formula.version import State
from formulary.people import Person, Post
from tests.ui.formulas.conftest import Find, focused, press
from ui.context import Topic
from ui.formulas.page import FormulasPage
from ui.window import Window

CTRL = Qt.KeyboardModifier.ControlModifier
SHIFT = Qt.KeyboardModifier.ShiftModifier
Settle = Callable[[], None]


@pytest.fixture
def draft(page: FormulasPage, find: Find) -> FormulasPage:
    """Return the page with a draft version in view."""
    find("glycerol cream")
    return page


def state(page: FormulasPage) -> State:
    assert page._shown is not None
    assert page._shown.newest is not None
    return page._shown.newest.state


def offered(page: FormulasPage) -> list[str]:
    return [name for name, each in page.acts.actions_of.items() if each.isEnabled()]


def acts_as(window: Window, person: Person) -> None:
    """Seat somebody, as after signing in."""
    window.context.seat(replace(window.context.desk, person=person, signed_in=True))


def sign(window: Window, pin: str, settle: Settle) -> None:
    """Type the PIN that a signature asks for."""
    assert window.asking is not None
    assert window.asking.dialog is not None
    QTest.keyClicks(window.asking.dialog.pin, pin)
    QTest.keyClick(window.asking.dialog.pin, Qt.Key.Key_Return)
    settle()


def act(page: FormulasPage, name: str, settle: Settle) -> None:
    page.acts.actions_of[name].trigger()
    settle()


def test_each_state_offers_its_own_acts(draft: FormulasPage, settle: Settle) -> None:
    assert offered(draft) == ["send_to_review", "withdraw"]
    act(draft, "send_to_review", settle)
    assert state(draft) is State.IN_REVIEW
    assert offered(draft) == ["put_in_use", "return_to_draft", "withdraw"]
    assert not draft.edit.isEnabled()


def test_the_focus_goes_to_the_leaf_never_to_the_next_act(
    draft: FormulasPage, settle: Settle
) -> None:
    button = draft.acts.findChildren(QPushButton)[0]
    button.setFocus()
    press(Qt.Key.Key_Space)
    settle()
    settle()
    assert state(draft) is State.IN_REVIEW
    assert draft.leaf.hasFocus()


def test_who_wrote_it_gives_the_reason_for_acting_alone(
    draft: FormulasPage, window: Window, settle: Settle
) -> None:
    act(draft, "send_to_review", settle)
    assert draft._shown is not None
    assert draft._shown.newest is not None
    author = draft._shown.newest.author_id
    acts_as(window, next(each for each in window.context.people if each.id == author))
    draft.acts.show_version(draft._shown.newest)
    act(draft, "put_in_use", settle)
    assert draft.acts.reason.hasFocus()
    QTest.keyClicks(focused(), "Nobody else is here on a Sunday.")
    press(Qt.Key.Key_Return)
    pins = {name: pin for name, _, pin in sample_pins()}
    sign(window, pins[window.context.desk.person.name], settle)
    assert state(draft) is State.IN_USE


def test_the_keys_of_a_version_work_from_the_search(draft: FormulasPage, settle: Settle) -> None:
    assert draft.search.hasFocus()
    press(Qt.Key.Key_R, CTRL | SHIFT)
    settle()
    assert state(draft) is State.IN_REVIEW


def test_the_keys_of_a_version_rest_while_it_is_edited(draft: FormulasPage, settle: Settle) -> None:
    press(Qt.Key.Key_E, CTRL)
    settle()
    press(Qt.Key.Key_R, CTRL | SHIFT)
    settle()
    assert draft.session is not None
    assert draft.session.active
    assert state(draft) is State.DRAFT
    press(Qt.Key.Key_Escape)
    settle()
    assert offered(draft) == ["send_to_review", "withdraw"]


def test_a_technician_is_refused_with_a_sentence(
    draft: FormulasPage, window: Window, settle: Settle, refusals: Callable[[], list[str]]
) -> None:
    act(draft, "send_to_review", settle)
    people = window.context.people
    acts_as(window, next(each for each in people if each.post is Post.TECHNICIAN))
    act(draft, "put_in_use", settle)
    assert refusals() == ["roles.may_not"]
    assert state(draft) is State.IN_REVIEW


def test_escape_takes_the_question_back(draft: FormulasPage, settle: Settle) -> None:
    act(draft, "withdraw", settle)
    assert draft.acts.reason.isVisible()
    press(Qt.Key.Key_Escape)
    assert not draft.acts.reason.isVisible()
    assert state(draft) is State.DRAFT


@pytest.fixture
def newer(page: FormulasPage, window: Window, find: Find, settle: Settle) -> FormulasPage:
    """Return the page with a version in use in view, and a newer one in review."""
    find("CR-003")
    assert page._shown is not None
    newest = page._shown.newest
    assert newest is not None
    study = Evidence(Period(170, Span.DAYS), "House study 12")
    content = replace(newest.content, evidence=study, purpose="For heels.")
    third = replace(newest, id="v3", number=newest.number + 1, content=content, revision=0)
    waiting = replace(third, state=State.IN_REVIEW, approver_id="", approved_at=None)
    with window.context.desk.writing("send_to_review") as writing:
        writing.put(replace(waiting, author_id="somebody else"))
    window.context.tell_changed(Topic.FORMULAS)
    settle()
    settle()
    return page


def test_nobody_signs_a_version_that_was_not_in_view(
    newer: FormulasPage, window: Window, settle: Settle
) -> None:
    press(Qt.Key.Key_U, CTRL | SHIFT)
    settle()
    assert window.asking is None or window.asking.dialog is None
    assert "For heels." in newer.leaf.toPlainText()
    said = [each.message.key for each in window.context.say.history]
    assert "ui_formulas.version.first" in said
    press(Qt.Key.Key_U, CTRL | SHIFT)
    settle()
    assert window.asking is not None
    dialog = window.asking.dialog
    assert dialog is not None
    assert "version 3" in dialog.windowTitle()
    shown = " ".join(each.toPlainText() for each in dialog.findChildren(QTextBrowser))
    assert "House study 12" in shown
    assert "170" in shown
    dialog.reject()
