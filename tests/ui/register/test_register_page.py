from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import timedelta
from threading import Event

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QTableView, QTreeView, QWidget
from pytestqt.modeltest import ModelTester
from pytestqt.qtbot import QtBot

from formulary.desk import Desk
from formulary.people import Identity, Part
from formulary.verbs.address_preparation import address_preparation
from formulary.verbs.issue_labels import issue_labels
from tests.helpers.kept import a_preparation
from tests.ui.at_desk import nowhere, packed_jars, plain, start, unnamed
from ui.context import Context
from ui.register.page import RegisterPage
from ui.register.register_model import Column

Show = Callable[[QWidget], None]
Settle = Callable[[], None]


def texts(page: RegisterPage, column: Column) -> list[str]:
    model = page.model
    rows = range(model.rowCount())
    return [plain(str(model.index(row, column).data())) for row in rows]


@pytest.fixture
def page(context: Context, desk: Desk) -> RegisterPage:
    start(desk, "zinc paste", "3 x 60 g")
    start(desk, "urea cream", "2 x 100 g")
    return RegisterPage(context)


def fill(desk: Desk, count: int) -> None:
    version = start(desk, "zinc paste", "1 x 60 g")
    with desk.store.writing(desk.act(), "fill") as writing:
        for number in range(count):
            one = a_preparation(f"m-{number}", f"T26-{number:05d}")
            moment = one.started_at - timedelta(minutes=number + 1)
            kept = replace(one, version_id=version.version_id, formula_id=version.formula_id)
            writing.put(replace(kept, started_at=moment))


def test_an_empty_register_says_what_belongs_there_and_leads_to_it(
    context: Context, show: Show, qtbot: QtBot
) -> None:
    page = RegisterPage(context)
    show(page)
    assert "on record" in page.nothing.text()
    with qtbot.waitSignal(context.page_wanted) as went:
        QTest.mouseClick(page.listing.formulas_button, Qt.MouseButton.LeftButton)
    assert went.args == ["formulas", None]


def test_it_lists_what_was_started_newest_first(page: RegisterPage, show: Show) -> None:
    show(page)
    assert texts(page, Column.FORMULA) == ["Urea cream 10 %", "Zinc paste 25 %"]
    assert texts(page, Column.TARGET) == ["2 x 100 g", "3 x 60 g"]
    assert texts(page, Column.MADE_ON) == ["", ""], "they are only planned"


def test_it_says_how_far_away_the_last_day_of_use_is(page: RegisterPage, show: Show) -> None:
    show(page)
    assert texts(page, Column.AWAY)[0] == "in 34 days"


def test_typing_searches_lot_code_and_title(page: RegisterPage, show: Show, settle: Settle) -> None:
    show(page)
    QTest.keyClicks(page.search, "zinc")
    settle()
    assert texts(page, Column.FORMULA) == ["Zinc paste 25 %"]


def test_words_that_nothing_has_are_answered_with_a_sentence(
    page: RegisterPage, show: Show, settle: Settle
) -> None:
    show(page)
    QTest.keyClicks(page.search, "xyzzy")
    settle()
    assert (
        page.nothing.text()
        == "No preparation has these words in its lot, code or title, at this stage."
    )


def test_enter_opens_no_row_of_an_earlier_answer(
    context: Context, page: RegisterPage, show: Show, settle: Settle
) -> None:
    show(page)
    gate = Event()
    context.do(lambda _: gate.wait(20))
    QTest.keyClicks(page.search, "zinc")
    page.table.setFocus()
    QTest.keyClick(page.table, Qt.Key.Key_Return)
    gate.set()
    settle()
    assert page.details.isHidden()
    QTest.keyClick(page.table, Qt.Key.Key_Return)
    settle()
    assert "Zinc paste" in page.details.title.text()


def test_rows_come_fifty_at_a_time(
    context: Context, desk: Desk, show: Show, settle: Settle
) -> None:
    fill(desk, 70)
    page = RegisterPage(context)
    show(page)
    assert page.model.rowCount() == 50
    page.table.scrollToBottom()
    settle()
    assert page.model.rowCount() == 71
    lots = texts(page, Column.LOT)
    assert len(set(lots)) == 71


def test_enter_opens_the_plan_with_its_working_and_escape_steps_back(
    page: RegisterPage, show: Show, settle: Settle
) -> None:
    show(page)
    QTest.keyClick(page.search, Qt.Key.Key_Return)
    QTest.keyClick(page.table, Qt.Key.Key_Return)
    settle()
    assert page.details.isVisible()
    assert "Urea cream 10 %" in plain(page.details.title.text())
    page.details.plan.setFocus()
    QTest.keyClick(page.details.plan, Qt.Key.Key_Equal)
    assert any("=" in each for each in page.details.plan.open_texts())
    QTest.keyClick(page.details.plan, Qt.Key.Key_Escape)
    assert page.table.isVisible()
    assert page.table.hasFocus()


def test_the_equals_sign_opens_the_working_of_what_was_just_opened(
    page: RegisterPage, show: Show, settle: Settle
) -> None:
    show(page)
    QTest.keyClick(page.search, Qt.Key.Key_Return)
    QTest.keyClick(page.table, Qt.Key.Key_Return)
    settle()
    focused = QApplication.focusWidget()
    assert focused is not None
    QTest.keyClicks(focused, "=")
    assert any("=" in each for each in page.details.plan.open_texts())


def test_coming_back_shows_the_list_unless_a_lot_was_handed_over(
    page: RegisterPage, show: Show, settle: Settle
) -> None:
    show(page)
    page.take(page.table.current_lot())
    page.shown()
    settle()
    assert page.details.isVisible()
    page.shown()
    settle()
    assert page.table.isVisible()
    assert page.search.hasFocus()


@pytest.mark.parametrize("width", [1280, 1920])
def test_no_column_is_narrower_than_what_it_says(
    page: RegisterPage, show: Show, settle: Settle, width: int
) -> None:
    show(page)
    page.resize(width, 760)
    settle()
    assert cut(page.table, Column.FORMULA) == []
    page.take(page.table.current_lot())
    settle()
    assert cut(page.details.plan, 0) == []


def test_a_title_too_long_for_its_column_keeps_its_strength(
    page: RegisterPage, desk: Desk, show: Show, settle: Settle
) -> None:
    start(desk, "hydrochlorothiazide oral suspension", "100 mL")
    show(page)
    page.resize(1024, 700)
    settle()
    table = page.table
    title = next(each for each in texts(page, Column.FORMULA) if "Hydro" in each)
    width = table.columnWidth(Column.FORMULA) // 2
    shown = table.fontMetrics().elidedText(title, table.textElideMode(), width)
    assert shown != title
    assert plain(shown).endswith("in 1 mL")


def cut(view: QTableView | QTreeView, but: int) -> list[int]:
    """Return the columns in view that don't show all they say, one left out."""
    columns = range(view.model().columnCount())
    return [
        each
        for each in columns
        if each != but
        and not view.isColumnHidden(each)
        and view.columnWidth(each) < view.sizeHintForColumn(each)
    ]


def test_labels_leads_to_the_labels_of_the_lot(
    page: RegisterPage, context: Context, show: Show, settle: Settle, qtbot: QtBot
) -> None:
    show(page)
    page.table.setFocus()
    QTest.keyClick(page.table, Qt.Key.Key_Return)
    settle()
    with qtbot.waitSignal(context.page_wanted) as went:
        QTest.keyClick(page.details, Qt.Key.Key_L, Qt.KeyboardModifier.ControlModifier)
    assert went.args == ["labels", texts(page, Column.LOT)[0]]


def test_the_details_list_the_label_prints(context: Context, desk: Desk, show: Show) -> None:
    lot = packed_jars(desk, "zinc paste", "3 x 60 g").lot
    issue_labels(desk, lot, "100x50", nowhere)
    page = RegisterPage(context)
    page.take(lot)
    show(page)
    assert texts(page, Column.LABELS) == ["3"]
    prints = page.details.prints.model()
    assert [prints.index(0, column).data() for column in (1, 2)] == ["3", "100x50"]


def test_the_details_tell_proofs_and_second_labels_apart(
    context: Context, desk: Desk, show: Show
) -> None:
    lot = start(desk, "urea cream", "2 x 60 g").lot
    issue_labels(desk, lot, "100x50", nowhere)
    jars = packed_jars(desk, "zinc paste", "2 x 60 g").lot
    issue_labels(desk, jars, "100x50", nowhere)
    issue_labels(desk, jars, "100x50", nowhere, reason="One was torn")
    page = RegisterPage(context)
    show(page)
    said = []
    for each in (lot, jars):
        page.take(each)
        show(page)
        prints = page.details.prints.model()
        said += [prints.index(row, 1).data() for row in range(prints.rowCount())]
    assert said == ["2 proofs, no labels", "2", "2, printed again"]


def test_no_patient_shows_anywhere_on_the_page(context: Context, desk: Desk, show: Show) -> None:
    lot = start(desk, "zinc paste", "3 x 60 g").lot
    address_preparation(desk, lot, "Twice a day.", patient="Ottilie Brandmeer")
    assert [each.part for each in desk.store.every(Identity)] == [Part.PATIENT]
    page = RegisterPage(context)
    page.take(lot)
    show(page)
    said = [str(page.model.index(0, column).data()) for column in Column]
    said += page.details.facts.texts()
    said += [page.details.title.text(), page.details.below.text()]
    assert not any("Brandmeer" in each for each in said)


def test_everything_reached_by_tab_has_a_name(page: RegisterPage, show: Show) -> None:
    show(page)
    assert unnamed(page) == []


def test_the_model_keeps_qts_rules(
    page: RegisterPage, show: Show, qtmodeltester: ModelTester
) -> None:
    show(page)
    qtmodeltester.check(page.model)  # type: ignore[no-untyped-call]
