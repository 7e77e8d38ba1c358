"""What scrolls on a page: the field with the focus is in view, and nothing of a form is cut."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

import pytest
from PySide6.QtCore import QPoint, QRect, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QLabel, QPlainTextEdit, QWidget
from pytestqt.qtbot import QtBot

from tests.ui.stock.keyboard import keys
from ui.context import Context
from ui.orders.page import OrdersPage

Show = Callable[[QWidget], None]
Settle = Callable[[], None]


@pytest.fixture
def page(context: Context, show: Show, settle: Settle) -> OrdersPage:
    """Return the page with a new order begun, in the smallest window."""
    made = OrdersPage(context)
    made.resize(1280, 700)
    show(made)
    keys(made.listing, "Ctrl+N")
    settle()
    return made


def in_view(page: OrdersPage, part: QWidget) -> bool:
    """Tell whether all of a part is in the view that scrolls."""
    view = page.form._leaf.viewport()
    place = QRect(part.mapTo(view, QPoint(0, 0)), part.size())
    return view.rect().contains(place)


def test_the_field_come_to_by_tab_is_always_in_view(page: OrdersPage, qtbot: QtBot) -> None:
    form = page.form.form
    assert form is not None
    for _ in range(len(form.inputs) - 1):
        focus = QApplication.focusWidget()
        assert focus is not None
        qtbot.waitUntil(partial(in_view, page, focus))
        QTest.keyClick(focus, Qt.Key.Key_Tab)


def test_a_further_order_begins_at_its_top(page: OrdersPage, settle: Settle, qtbot: QtBot) -> None:
    form, bar = page.form.form, page.form._leaf.verticalScrollBar()
    assert form is not None
    form.inputs["prescription"].setFocus()
    qtbot.waitUntil(lambda: bar.value() > 0)
    keys(page.form, "Esc")
    settle()
    keys(page.listing, "Ctrl+N")
    settle()
    qtbot.waitUntil(lambda: bar.value() == 0)


def test_what_is_wrong_takes_its_lines_and_no_box_loses_its_edge(
    page: OrdersPage, qtbot: QtBot
) -> None:
    form = page.form.form
    assert form is not None
    form.inputs["formula"].set_text("no such formula anywhere in the house")
    form.inputs["language"].setFocus()
    parts = (*form.findChildren(QPlainTextEdit), form.inputs["formula"].findChildren(QLabel)[0])
    qtbot.waitUntil(lambda: all(map(is_whole, parts)))


def is_whole(part: QWidget) -> bool:
    """Tell whether a part lies in what holds it, a label with all its lines."""
    holder = part.parentWidget()
    assert holder is not None
    needs = part.heightForWidth(part.width()) if part.hasHeightForWidth() else 0
    return holder.rect().contains(part.geometry()) and part.height() >= needs
