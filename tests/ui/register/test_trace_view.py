"""A trace in the window, and a recall from it: names only for whoever has signed in."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from formulary.preparation import Preparation
from formulary.stock.lot import Halt, SupplyLot
from formulary.stock.recall import Recall
from formulary.tracing import Sort
from tests.helpers.pdf_text import page_texts
from tests.ui.at_desk import plain, unnamed
from tests.ui.file_questions import choose_file
from tests.ui.register.conftest import PATIENT
from tests.ui.stock.keyboard import keys, typed
from ui.context import Context
from ui.register.page import RegisterPage
from ui.register.register_model import Column

Settle = Callable[[], None]


@pytest.fixture
def page(register: RegisterPage, talc: str, settle: Settle) -> RegisterPage:
    keys(register.search, "Ctrl+T")
    settle()
    register.traced.what.setFocus()
    register.traced.what.clear()
    typed(talc)
    QTest.keyClick(register.traced.what, Qt.Key.Key_Return)
    settle()
    return register


def calls(page: RegisterPage) -> list[str]:
    tree = page.traced.calls
    items = [tree.topLevelItem(row) for row in range(tree.topLevelItemCount())]
    return [f"{item.text(0)}|{item.text(1)}" for item in items if item is not None]


def test_a_lot_is_drawn_from_its_supplier_to_patient_and_ward(page: RegisterPage) -> None:
    sorts = [column[0].sort for column in page.traced.graph._picture.columns]
    assert sorts == [
        Sort.SUPPLIER,
        Sort.LOT,
        Sort.CONTAINER,
        Sort.PREPARATION,
        Sort.JAR,
        page.traced.graph._picture.columns[-1][0].sort,
    ]
    assert plain(page.traced.summary.text()).startswith("1 preparation, 3 filled containers, 1 of")
    assert unnamed(page) == []


def test_every_row_is_in_view_as_far_as_there_is_room(page: RegisterPage) -> None:
    traced = page.traced
    assert traced.area.viewport().height() >= min(traced.graph.height(), 480)


def test_every_column_is_in_view_in_the_smallest_window(page: RegisterPage) -> None:
    assert len(page.traced.graph._picture.columns) >= 6
    assert page.traced.area.horizontalScrollBar().maximum() == 0


def test_arrow_keys_go_through_the_graph_and_enter_opens_the_record(
    page: RegisterPage, paste: Preparation, settle: Settle
) -> None:
    graph = page.traced.graph
    assert graph.hasFocus()
    for _ in range(2):
        QTest.keyClick(graph, Qt.Key.Key_Right)
    current = graph.current
    assert current is not None
    assert graph.said(current) == (paste.lot, paste.title)
    QTest.keyClick(graph, Qt.Key.Key_Return)
    settle()
    assert page.details.isVisible()


def test_what_is_typed_is_traced_and_words_leave_it_to_the_row_come_to(
    register: RegisterPage, paste: Preparation, talc: str, settle: Settle
) -> None:
    register.search.setFocus()
    typed(talc)
    keys(register.search, "Ctrl+T")
    settle()
    assert register.traced.what.text() == talc
    keys(register.traced, "Esc")
    register.search.setText("")
    register.search.setFocus()
    typed("paste")
    settle()
    QTest.keyClick(register.search, Qt.Key.Key_Down)
    keys(register.listing, "Ctrl+T")
    settle()
    assert register.traced.what.text() == paste.lot


def test_names_show_only_after_asking_and_signing_in(
    page: RegisterPage, context: Context, qtbot: QtBot
) -> None:
    assert not any(PATIENT in each for each in calls(page))
    assert any(each.startswith("A patient|") for each in calls(page))
    context.lock()
    with qtbot.waitSignal(context.sign_in_wanted):
        keys(page.traced, "Ctrl+E")
    assert not any(PATIENT in each for each in calls(page))


def test_whoever_is_signed_in_sees_whom_to_call_and_that_is_on_record(
    page: RegisterPage, context: Context, signing: list[str], settle: Settle, paste: Preparation
) -> None:
    assert signing == []
    keys(page.traced, "Ctrl+E")
    settle()
    assert f"{PATIENT}|{paste.lot}/1" in calls(page)
    assert f"Ward 3|{paste.lot}/2" in calls(page)
    assert context.desk.store.history()[-1].verb == "view_patient"


def test_the_report_is_written_with_what_the_page_shows(
    page: RegisterPage,
    paste: Preparation,
    settle: Settle,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    out = tmp_path / "trace.pdf"
    choose_file(monkeypatch, out)
    keys(page.traced, "Ctrl+S")
    settle()
    said = " ".join(page_texts(out.read_bytes()))
    assert paste.lot in said
    assert PATIENT not in said


def test_what_isn_t_here_is_refused_in_words(
    page: RegisterPage, context: Context, settle: Settle
) -> None:
    page.traced.what.setFocus()
    page.traced.what.setText("XX-0")
    QTest.keyClick(page.traced.what, Qt.Key.Key_Return)
    settle()
    assert context.say.history[-1].message.key == "stock.look_up.nothing_to_trace"


def test_one_lot_number_recalls_freezes_and_lists_whom_to_call(
    register: RegisterPage, context: Context, signing: list[str], talc: str, settle: Settle
) -> None:
    keys(register.search, "Ctrl+R")
    typed(talc.lower())
    keys(register.recall, "Return")
    settle()
    foreseen = register.recall.facts.texts()
    assert foreseen[-1] == "2"
    typed("glass in a container")
    keys(register.recall, "Ctrl+Return")
    settle()
    assert signing == [f"You recall lot {talc}: it is frozen with all that was made from it."]
    (recall,) = context.desk.store.every(Recall)
    assert len(recall.contacts) == 2
    lot = context.desk.store.get(SupplyLot, recall.lot_ids[0])
    assert lot is not None
    assert lot.stop is not None
    assert lot.stop.halt is Halt.RECALLED
    assert register.calls.isVisible()
    register.shown()
    settle()
    assert "1 recalled" in register.listing.to_go.text()
    choice = register.listing.stage
    choice.setCurrentIndex(choice.findText("Recalled or frozen"))
    settle()
    (stage,) = [register.model.item(row, Column.STAGE) for row in range(register.model.rowCount())]
    assert stage.text() == "packed, frozen"
    assert not stage.icon().isNull()


def test_a_lot_number_that_nobody_has_is_told_at_its_field(
    register: RegisterPage, settle: Settle
) -> None:
    keys(register.search, "Ctrl+R")
    typed("XX-0")
    keys(register.recall, "Return")
    settle()
    assert not register.recall.form.inputs["number"].sound
    assert not register.recall.recall.isEnabled()
