"""A product made up by its label leaves a light record, written by keys."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QWidget

from formulary.desk import Desk
from formulary.reconstitution import Reconstitution
from tests.ui.at_desk import plain, unnamed
from tests.ui.orders.conftest import taken
from ui.context import Context
from ui.orders.page import OrdersPage

Settle = Callable[[], None]
CTRL = Qt.KeyboardModifier.ControlModifier
SAID = (
    "Granules for suspension",
    "A1",
    "2027-03",
    "Purified water",
    "45 mL",
    "2026-02-17",
    "Leaflet of 2025",
)
"""What is needed, in the order of the form."""


def focused() -> QWidget:
    found = QApplication.focusWidget()
    assert found is not None
    return found


def press(key: Qt.Key, settle: Settle, modifier: Qt.KeyboardModifier | None = None) -> None:
    QTest.keyClick(focused(), key, modifier or Qt.KeyboardModifier.NoModifier)
    settle()


def enter(text: str, settle: Settle) -> None:
    QTest.keyClicks(focused(), text)
    press(Qt.Key.Key_Return, settle)


@pytest.fixture
def asking(page: OrdersPage, settle: Settle) -> OrdersPage:
    """Return the page that asks for what was made up."""
    press(Qt.Key.Key_M, settle, CTRL)
    press(Qt.Key.Key_N, settle, CTRL)
    return page


def records(desk: Desk) -> list[Reconstitution]:
    return list(desk.store.every(Reconstitution))


def test_enter_goes_from_one_needed_field_to_the_next_and_keeps_the_record(
    asking: OrdersPage, desk: Desk, settle: Settle
) -> None:
    for text in SAID:
        enter(text, settle)
    (made,) = records(desk)
    assert (made.product, made.maker_lot) == ("Granules for suspension", "A1")
    assert (made.expiry, made.use_by) == (date(2027, 3, 31), date(2026, 2, 17))
    shown = asking.made_up.list.topLevelItem(0)
    assert shown is not None
    row = [plain(shown.text(column)) for column in range(5)]
    assert row[1:] == ["Granules for suspension", "A1", "45 mL of Purified water", "17 Feb 2026"]


def test_it_lasts_no_longer_than_the_pack(
    asking: OrdersPage, desk: Desk, context: Context, settle: Settle
) -> None:
    for text in (*SAID[:5], "2027-05-01", SAID[6]):
        enter(text, settle)
    assert records(desk) == []
    assert context.say.history[-1].message.key == "made_up.use_by"
    assert asking.made_up.question.asking


@pytest.mark.usefixtures("asking")
def test_a_bare_number_isnt_taken_for_an_amount(desk: Desk, settle: Settle) -> None:
    for text in (*SAID[:4], "45"):
        enter(text, settle)
    assert records(desk) == []


def test_it_is_made_up_for_an_order(asking: OrdersPage, desk: Desk, settle: Settle) -> None:
    order = taken(desk)
    form = asking.made_up.question.form
    assert form is not None
    form.inputs["order"].setFocus()
    QTest.keyClicks(focused(), order.number)
    form.inputs["product"].setFocus()
    for text in SAID:
        enter(text, settle)
    (made,) = records(desk)
    assert made.order == order.number


def test_escape_goes_back_to_the_orders(asking: OrdersPage, desk: Desk, settle: Settle) -> None:
    press(Qt.Key.Key_Escape, settle)
    assert not asking.made_up.question.asking
    press(Qt.Key.Key_Escape, settle)
    assert asking.listing.isVisible()
    assert records(desk) == []


def test_everything_reached_by_tab_has_a_name(asking: OrdersPage) -> None:
    assert unnamed(asking) == []
