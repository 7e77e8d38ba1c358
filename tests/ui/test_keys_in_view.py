"""Keys go to what is in view, whatever happens behind it or is put away."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from PySide6.QtWidgets import QApplication, QPushButton, QWidget
from pytestqt.qtbot import QtBot

from formulary.orders.order import Purpose
from formulary.verbs.take_order import Asked, take_order
from ui.context import PageName, Topic
from ui.orders.page import OrdersPage
from ui.window import Window

Settle = Callable[[], None]


def focus_in(page: QWidget) -> bool:
    now = QApplication.focusWidget()
    return now is not None and now.isVisible() and page.isAncestorOf(now)


@pytest.fixture
def behind(window: Window, settle: Settle) -> OrdersPage:
    """Return the page of orders with one open, behind the page of stock."""
    window.activateWindow()
    order = take_order(window.context.desk, Asked(Purpose.STOCK, target="100 g"))
    window.show_page(PageName.ORDERS.value)
    page = window.pages[PageName.ORDERS.value]
    assert isinstance(page, OrdersPage)
    page.open_order(order.id)
    settle()
    window.show_page(PageName.STOCK.value)
    settle()
    return page


@pytest.mark.usefixtures("behind")
def test_a_page_that_reads_again_behind_another_takes_no_key(
    window: Window, settle: Settle
) -> None:
    stock = window.pages[PageName.STOCK.value]
    assert focus_in(stock)
    window.context.tell_changed(Topic.PREPARATIONS)
    settle()
    assert focus_in(stock)


def test_a_page_that_takes_it_all_the_same_gives_it_back(
    window: Window, behind: OrdersPage, qtbot: QtBot
) -> None:
    behind.findChildren(QPushButton)[0].setFocus()
    qtbot.waitUntil(lambda: focus_in(window.pages[PageName.STOCK.value]))


def test_what_is_put_away_leaves_the_keys_in_its_page(
    window: Window, settle: Settle, qtbot: QtBot
) -> None:
    window.activateWindow()
    window.show_page(PageName.STOCK.value)
    settle()
    page = window.pages[PageName.STOCK.value]
    passing = QPushButton("Understood", page)
    passing.show()
    passing.setFocus()
    assert QApplication.focusWidget() is passing
    passing.hide()
    qtbot.waitUntil(lambda: focus_in(page))
