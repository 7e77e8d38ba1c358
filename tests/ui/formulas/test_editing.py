"""Editing in place: meanings as one types, undo, and drafts that come back."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QLineEdit
from pytestqt.qtbot import QtBot

from formulary.formula.version import State
from tests.ui.conftest import settled
from tests.ui.formulas.conftest import Find, choose_first, choose_next, focused, press
from ui import theme
from ui.formulas.editor.session import Session
from ui.formulas.page import FormulasPage
from ui.widgets.quantity_edit import QuantityEdit
from ui.window import Window

CTRL = Qt.KeyboardModifier.ControlModifier
ALT = Qt.KeyboardModifier.AltModifier
SHIFT = Qt.KeyboardModifier.ShiftModifier
Settle = Callable[[], None]


@pytest.fixture
def session(page: FormulasPage, find: Find, settle: Settle) -> Session:
    """Return the session in which the urea cream is edited, begun by its key."""
    find("urea")
    press(Qt.Key.Key_E, CTRL)
    settle()
    assert page.session is not None
    return page.session


def quantity(session: Session, row: int) -> QuantityEdit:
    found = session.editor._tables["ingredient"].rows[row].inputs["quantity"]
    edit = found.findChild(QuantityEdit)
    assert edit is not None
    return edit


def retype(line: QLineEdit, text: str) -> None:
    line.setFocus()
    line.selectAll()
    QTest.keyClicks(line, text)


def ingredient_names(session: Session) -> list[str]:
    rows = session.editor.history.now.get("ingredient", [])
    return [str(row.get("name", "")) for row in rows]


def test_the_editor_opens_on_the_title(session: Session) -> None:
    assert session.active
    title = focused()
    assert isinstance(title, QLineEdit)
    assert title.text() == "Urea cream 10 %"


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ("10 g", "adds 10 g"),
        ("aa 10 g", "each gets 10 g"),
        ("ad 100 g", "makes 100 g in all"),
        ("aa ad 100 g", "shares what is left to 100 g"),
        ("q.s. until pH 5.5", "as much as needed until pH 5.5"),
    ],
)
def test_each_quantity_says_what_it_means(session: Session, typed: str, said: str) -> None:
    edit = quantity(session, 0)
    retype(edit.line, typed)
    assert edit.note.text().replace("\N{NO-BREAK SPACE}", " ") == said


def test_a_number_without_a_unit_is_a_question_that_enter_confirms(session: Session) -> None:
    edit = quantity(session, 0)
    retype(edit.line, "2,0")
    assert "Is 2\N{NO-BREAK SPACE}g meant?" in edit.note.text()
    assert edit.note.property("role") == "thought"
    press(Qt.Key.Key_Return)
    assert edit.text() == "2 g"
    assert edit.sound
    assert session.editor.history.now["ingredient"][0]["quantity"] == "2 g"


def test_what_cannot_be_read_is_said_in_place(session: Session) -> None:
    edit = quantity(session, 0)
    retype(edit.line, "5 u")
    assert "could be units or micro-" in edit.note.text()
    assert edit.line.property("role") == "stop"


def test_the_sum_is_checked_as_one_types(session: Session) -> None:
    assert session.panel.sum.text().startswith("Adds up")
    retype(quantity(session, 0).line, "95 % w/w")
    assert session.panel.sum.text().startswith("Doesn’t add up")
    assert any(text.startswith("Stop: ") for text in session.panel.findings.texts())


def test_undo_and_redo_go_over_the_whole_draft(session: Session) -> None:
    title = focused()
    retype(quantity(session, 0).line, "12 % w/w")
    assert isinstance(title, QLineEdit)
    retype(title, "Urea cream 12 %")
    press(Qt.Key.Key_Z, CTRL)
    assert title.text() == "Urea cream 10 %"
    press(Qt.Key.Key_Z, CTRL)
    assert quantity(session, 0).text() == "10 % w/w"
    press(Qt.Key.Key_Z, CTRL | SHIFT)
    assert quantity(session, 0).text() == "12 % w/w"


def test_rows_are_added_moved_and_removed_by_keys(session: Session) -> None:
    before = ingredient_names(session)
    session.editor.go_to(f"ingredient.{len(before) - 1}.name")
    press(Qt.Key.Key_Return)
    QTest.keyClicks(focused(), "Glycerol 85 %")
    assert ingredient_names(session) == [*before, "Glycerol 85 %"]
    press(Qt.Key.Key_Up, ALT)
    assert ingredient_names(session)[-2] == "Glycerol 85 %"
    press(Qt.Key.Key_Delete, ALT)
    assert ingredient_names(session) == before


def test_tab_goes_through_rows_in_the_order_of_reading(session: Session, settle: Settle) -> None:
    last = len(ingredient_names(session)) - 1
    session.editor.go_to(f"ingredient.{last}.phase")
    press(Qt.Key.Key_Return)
    settle()
    assert focused().accessibleName() == "Ingredient"
    passed = []
    for _ in range(4):
        press(Qt.Key.Key_Tab)
        passed.append(focused().accessibleName())
    assert passed == ["Quantity", "Role", "Phase", "Total"]


def test_a_first_row_is_added_and_the_last_one_removed_by_keys(
    page: FormulasPage, settle: Settle
) -> None:
    page.search.setFocus()
    press(Qt.Key.Key_N, CTRL)
    settle()
    assert page.session is not None
    page.session.editor.go_to("density_source")
    while focused().accessibleDescription() != "Method":
        press(Qt.Key.Key_Tab)
    press(Qt.Key.Key_Return)
    QTest.keyClicks(focused(), "Melt the base.")
    assert page.session.editor.history.now["step"] == [{"text": "Melt the base."}]
    press(Qt.Key.Key_Delete, ALT)
    assert "step" not in page.session.editor.history.now
    assert focused().accessibleDescription() == "Method"


def test_a_draft_comes_back_after_the_window_was_closed(
    qtbot: QtBot,
    session: Session,
    window: Window,
    house_file: Path,
    opened: Callable[[Path, str], Window],
) -> None:
    retype(quantity(session, 0).line, "12 % w/w")
    window.close()
    again = opened(house_file, "en")
    page = again.pages["formulas"]
    assert isinstance(page, FormulasPage)
    assert "1 draft" in again.speech.news()
    page.search_for("urea")
    settled(qtbot, again)
    page.edit.trigger()
    settled(qtbot, again)
    assert page.session is not None
    assert quantity(page.session, 0).text() == "12 % w/w"


def test_a_new_formula_that_was_not_confirmed_leads_the_index(
    page: FormulasPage, settle: Settle
) -> None:
    page.search.setFocus()
    press(Qt.Key.Key_N, CTRL)
    settle()
    QTest.keyClicks(focused(), "Test salve")
    press(Qt.Key.Key_Escape)
    settle()
    first = page.model.index(0, 0)
    assert first.data() == "Test salve"
    assert first.data(Qt.ItemDataRole.AccessibleTextRole) == "Test salve. Draft, unconfirmed"


def test_confirming_asks_for_the_reason_then_writes_the_next_version(
    session: Session, page: FormulasPage, settle: Settle
) -> None:
    retype(quantity(session, 0).line, "10.1 % w/w")
    press(Qt.Key.Key_Return, CTRL)
    assert session.panel.reason.hasFocus()
    QTest.keyClicks(focused(), "Assay of the new supplier.")
    press(Qt.Key.Key_Return, CTRL)
    settle()
    settle()
    assert page._shown is not None
    assert page._shown.newest is not None
    assert (page._shown.newest.number, page._shown.newest.state) == (3, State.DRAFT)
    assert "Assay of the new supplier." in page.leaf.toPlainText()
    assert page._shown.draft is None


def test_the_formula_that_was_confirmed_is_in_view_whatever_was_sought(
    page: FormulasPage, find: Find, settle: Settle
) -> None:
    find("zinc")
    press(Qt.Key.Key_N, CTRL)
    settle()
    for place, text in (
        ("title", "Test salve"),
        ("code", "TS-001"),
        ("ingredient.0.name", "White soft paraffin"),
        ("ingredient.0.quantity", "to 100 g"),
    ):
        assert page.session is not None
        page.session.editor.go_to(place)
        QTest.keyClicks(focused(), text)
    for place in ("form", "route"):
        assert page.session is not None
        page.session.editor.go_to(place)
        choose_next()
    press(Qt.Key.Key_Return, CTRL)
    settle()
    settle()
    assert page.leaf.toPlainText().startswith("Test salve")
    assert page.index.currentIndex().data() == "Test salve"


def test_closing_the_editor_stays_with_the_formula_though_others_lead_the_list(
    page: FormulasPage, find: Find, settle: Settle
) -> None:
    find("cream")
    press(Qt.Key.Key_Down)
    settle()
    title = page.index.currentIndex().data().replace("\N{NO-BREAK SPACE}", " ")
    press(Qt.Key.Key_E, CTRL)
    settle()
    press(Qt.Key.Key_Escape)
    settle()
    settle()
    assert page.index.currentIndex().row() == 1
    assert page.leaf.toPlainText().startswith(title)


def test_the_names_offered_stand_on_paper(session: Session) -> None:
    session.editor.go_to("ingredient.0.name")
    line = focused()
    assert isinstance(line, QLineEdit)
    retype(line, "para")
    offered = line.completer().popup()
    assert offered is not None
    assert offered.isVisible()
    picture = offered.grab().toImage()
    ground = picture.pixelColor(picture.width() - 8, picture.height() // 2)
    assert ground.name().upper() == theme.colours().paper
    offered.hide()


def test_f8_scrolls_to_what_is_wrong(session: Session, settle: Settle) -> None:
    session.editor.go_to("shelf_life.opened")
    line = focused()
    assert isinstance(line, QLineEdit)
    retype(line, "often")
    session.editor.focus_first()
    settle()
    assert line.visibleRegion().isEmpty()
    press(Qt.Key.Key_F8)
    settle()
    assert line.hasFocus()
    assert line.visibleRegion().boundingRect() == line.rect()


def test_lines_without_a_role_are_noted_beside_those_that_have_one(session: Session) -> None:
    session.editor.go_to("ingredient.0.role")
    choose_first()
    noted = session.panel.findings.texts()
    assert [each for each in noted if each.startswith("Note: 1 line has no role: it is weighed to")]


def test_what_is_missing_keeps_a_formula_from_being_confirmed(
    page: FormulasPage, settle: Settle, refusals: Callable[[], list[str]]
) -> None:
    page.search.setFocus()
    press(Qt.Key.Key_N, CTRL)
    settle()
    press(Qt.Key.Key_Return, CTRL)
    assert refusals() == ["ui_editor.still_wrong"]
    assert focused().accessibleName() == "Title"


def test_another_formula_in_the_index_leaves_the_draft_open_behind(
    session: Session, page: FormulasPage, find: Find
) -> None:
    retype(quantity(session, 0).line, "12 % w/w")
    find("zinc oxide cream")
    assert not session.active
    assert page.leaf.isVisible()
    find("urea")
    assert "Draft, unconfirmed" in str(
        page.model.index(0, 0).data(Qt.ItemDataRole.AccessibleTextRole)
    )
