"""The review beside the editor as one types, and on the leaf with the reasons given."""

from __future__ import annotations

import threading
from collections.abc import Callable

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QLabel, QLineEdit

from formulary.exchange.sample_house import sample_pins
from formulary.finding import Finding, Severity
from formulary.formula.content import Content
from formulary.formula.version import State
from formulary.people import Post
from formulary.verbs.review_formula import Basis
from tests.ui.formulas.conftest import Find, focused, press
from tests.ui.formulas.test_version_acts import act, acts_as, offered, sign, state
from ui.formulas.editor.session import Session
from ui.formulas.page import FormulasPage
from ui.window import Window

CTRL = Qt.KeyboardModifier.ControlModifier
Settle = Callable[[], None]
DECLARED = "declared as if it were pure"


@pytest.fixture
def session(page: FormulasPage, find: Find, settle: Settle) -> Session:
    """Return the session in which the glycerol cream is edited, a draft."""
    find("glycerol cream")
    press(Qt.Key.Key_E, CTRL)
    settle()
    settle()
    assert page.session is not None
    return page.session


def retype(session: Session, place: str, text: str, settle: Settle) -> None:
    session.editor.go_to(place)
    line = focused()
    assert isinstance(line, QLineEdit)
    line.selectAll()
    QTest.keyClicks(line, text)
    settle()
    settle()


def said(session: Session) -> str:
    return "\n".join(session.panel.findings.texts())


def test_findings_follow_what_is_typed(session: Session, settle: Settle) -> None:
    assert DECLARED not in said(session)
    retype(session, "label.strength", "20 % w/w", settle)
    assert DECLARED in said(session)
    retype(session, "label.strength", "Glycerol 85 % 20 % w/w", settle)
    assert DECLARED not in said(session)


def test_each_finding_has_its_sign_and_word(session: Session, settle: Settle) -> None:
    retype(session, "label.strength", "20 % w/w", settle)
    shown = session.panel.findings.shown
    assert shown[0].severity is Severity.REASON
    assert session.panel.findings.texts()[0].startswith("Think: ")
    signs = [e for e in session.panel.findings.findChildren(QLabel) if not e.pixmap().isNull()]
    assert len(signs) == len(shown)


def test_a_key_and_a_click_lead_to_the_field(session: Session, settle: Settle) -> None:
    retype(session, "label.strength", "20 % w/w", settle)
    session.editor.go_to("code")
    session.panel.go_to.trigger()
    settle()
    form, _ = session.editor._fields["title"]
    assert form.inputs["title"].isAncestorOf(focused()) or form.inputs["title"] is focused()
    row = next(e for e in session.panel.findings.shown if e.field.startswith("ingredient."))
    words = next(
        each
        for each in session.panel.findings.findChildren(QLabel)
        if f"href='{row.field}'" in each.text()
    )
    words.linkActivated.emit(row.field)
    settle()
    position = int(row.field.split(".")[1])
    assert session.editor._tables["ingredient"].rows[position].isAncestorOf(focused())


def test_the_review_runs_beside_the_window(
    session: Session, settle: Settle, monkeypatch: pytest.MonkeyPatch
) -> None:
    threads: list[str] = []
    plain = Basis.review

    def watched(basis: Basis, content: Content) -> tuple[Finding, ...]:
        threads.append(threading.current_thread().name)
        return plain(basis, content)

    monkeypatch.setattr(Basis, "review", watched)
    retype(session, "label.strength", "20 % w/w", settle)
    assert set(threads) == {"store"}


def test_an_empty_draft_isnt_reviewed(page: FormulasPage, settle: Settle) -> None:
    page.search.setFocus()
    press(Qt.Key.Key_N, CTRL)
    settle()
    assert page.session is not None
    assert not any(each.rule for each in page.session.panel.findings.shown)


def test_the_leaf_shows_the_review(page: FormulasPage, find: Find) -> None:
    find("hydrocortisone cream")
    text = page.leaf.toPlainText()
    assert "Review" in text
    assert "Note: No usual range of Hydrocortisone is on file" in text


def test_a_pharmacist_gives_the_reason_that_lets_it_into_use(
    page: FormulasPage,
    session: Session,
    window: Window,
    settle: Settle,
) -> None:
    retype(session, "label.strength", "20 % w/w", settle)
    press(Qt.Key.Key_Return, CTRL)
    settle()
    settle()
    assert "override_finding" in offered(page)
    act(page, "send_to_review", settle)
    assert page._shown is not None
    assert page._shown.newest is not None
    author = page._shown.newest.author_id
    pharmacist = next(
        each for each in window.context.people if each.post is Post.PHARMACIST and each.id != author
    )
    acts_as(window, pharmacist)
    pin = {name: pin for name, _, pin in sample_pins()}[pharmacist.name]
    act(page, "put_in_use", settle)
    sign(window, pin, settle)
    assert window.asking is not None
    assert window.asking.dialog is not None
    assert "A pharmacist gives a reason first" in window.asking.dialog.refusal.text()
    window.asking.dialog.reject()
    settle()
    assert state(page) is State.IN_REVIEW
    act(page, "override_finding", settle)
    QTest.keyClicks(focused(), "The label names the 85 %.")
    press(Qt.Key.Key_Return)
    sign(window, pin, settle)
    settle()
    last = window.context.say.history[-1].message
    assert "The reason is on record" in window.context.said(last)
    assert window.focusWidget() is page.leaf
    assert "override_finding" not in offered(page)
    assert f"The label names the 85 %. ({pharmacist.name}" in page.leaf.toPlainText()
    act(page, "put_in_use", settle)
    sign(window, pin, settle)
    assert state(page) is State.IN_USE
