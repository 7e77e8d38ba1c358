"""What happened to a record stands over the page: by a key, filtered, and on paper."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QFileDialog

from formulary.orders.order import Purpose
from formulary.verbs.keep_records import save_house
from formulary.verbs.take_order import Asked, take_order
from tests.ui.at_desk import unnamed
from ui.history_viewer import HistoryViewer
from ui.orders.page import OrdersPage
from ui.window import Window

CTRL, SHIFT = Qt.KeyboardModifier.ControlModifier, Qt.KeyboardModifier.ShiftModifier
Settle = Callable[[], None]


def opened(window: Window, settle: Settle) -> HistoryViewer:
    """Ask by its key what happened to the record in view."""
    QTest.keyClick(window, Qt.Key.Key_H, CTRL)
    settle()
    found = window.findChild(HistoryViewer)
    assert isinstance(found, HistoryViewer)
    return found


def asked(viewer: HistoryViewer, record: str, settle: Settle) -> str:
    """Type which record, and return what is said of it."""
    viewer.record.setFocus()
    viewer.record.clear()
    QTest.keyClicks(viewer.record, record)
    QTest.keyClick(viewer.record, Qt.Key.Key_Return)
    settle()
    return viewer.text.toPlainText()


def test_a_change_of_the_settings_is_read_with_what_it_was(window: Window, settle: Settle) -> None:
    context = window.context
    context.do(lambda desk: save_house(desk, replace(desk.house, telephone="555 0199"), "moved"))
    settle()
    viewer = opened(window, settle)
    said = asked(viewer, "settings", settle)
    assert said.index("Reason: moved") < said.index("Setting up the house"), "newest first"
    assert "→ 555 0199" in said
    QTest.keyClicks(viewer.filter, "moved")
    assert "Setting up" not in viewer.text.toPlainText()
    assert "1 of 2 entries" in viewer.count.text()


def test_the_formula_in_view_is_meant_unless_another_is_typed(
    window: Window, settle: Settle
) -> None:
    page = window.page("formulas")
    page.take("CR-003")
    settle()
    viewer = opened(window, settle)
    known = window.pages["formulas"].record_in_view()  # type: ignore[attr-defined]
    assert viewer.record.text() == known
    QTest.keyClick(viewer, Qt.Key.Key_Escape)
    assert viewer.isHidden()


def test_in_a_list_the_row_come_to_is_meant(window: Window, settle: Settle) -> None:
    asked_for = Asked(Purpose.PATIENT, patient="Ottoline Zimtsternchen", target="100 g")
    numbers = [take_order(window.context.desk, asked_for).number for _ in range(3)]
    window.show_page("orders")
    settle()
    page = window.pages["orders"]
    assert isinstance(page, OrdersPage)
    for row in range(page.listing.model.rowCount()):
        page.listing.table.make_current(row)
        viewer = opened(window, settle)
        assert viewer.record.text() == page.listing.table.current_number()
        assert "Taking an order" in viewer.text.toPlainText()
        numbers.remove(viewer.record.text())
        QTest.keyClick(viewer, Qt.Key.Key_Escape)
    assert numbers == []


def test_in_the_settings_those_are_meant(window: Window, settle: Settle) -> None:
    window.show_page("settings")
    settle()
    assert "Setting up the house" in opened(window, settle).text.toPlainText()


def test_what_there_is_nothing_of_is_said(window: Window, settle: Settle) -> None:
    viewer = opened(window, settle)
    asked(viewer, "no such thing", settle)
    assert window.context.say.history[-1].message.key == "history.nothing"


def test_it_is_saved_as_a_paper(window: Window, settle: Settle, tmp_path: Path) -> None:
    viewer = opened(window, settle)
    asked(viewer, "settings", settle)
    QTest.keyClick(viewer, Qt.Key.Key_P, CTRL | SHIFT)
    dialog = viewer.findChild(QFileDialog)
    assert isinstance(dialog, QFileDialog)
    out = tmp_path / "history.pdf"
    dialog.fileSelected.emit(str(out))
    dialog.close()
    settle()
    assert out.read_bytes().startswith(b"%PDF")


def test_its_fields_have_names(window: Window, settle: Settle) -> None:
    viewer = opened(window, settle)
    assert unnamed(viewer) == []
