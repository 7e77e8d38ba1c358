"""A freely composed prescription, pasted as written, becomes a checked one-off by keys alone.

What is counted are the keys beside the data: nobody could type less of that.
"""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from formulary.exchange.sample_house import sample_pins
from formulary.formula.kinds import Kind
from formulary.formula.version import State, Version
from formulary.orders.standing import Standing
from formulary.verbs.look_up_order import orders_in
from tests.flows.conftest import CTRL, Keyboard
from tests.ui.at_desk import page_key
from tests.ui.conftest import PATIENCE_MS
from ui.context import PageName
from ui.orders.page import OrdersPage
from ui.window import Window

RX = """Rp.
Acidi salicylici 2,0
Adipis lanae
Vaselini albi aa ad 100
M. f. ungt.
D. S. Apply thinly at night.
Dr. Yarrow"""
MOST_KEYS = 50
"""Ours, no source: at a key a second it is less than a minute beside the typing."""


def test_a_prescription_typed_as_written_is_checked_within_minutes(
    qtbot: QtBot, window: Window, keyboard: Keyboard
) -> None:
    keyboard.press(page_key(PageName.ORDERS), CTRL)
    keyboard.press(Qt.Key.Key_N, CTRL)
    keyboard.type("Quentin Zimt", counted=False)
    fill(keyboard, "Age", "34 years")
    fill(keyboard, "Allergies", "none")
    fill(keyboard, "Days of treatment", "14")
    keyboard.tab_to("Prescription")
    QApplication.clipboard().setText(RX)
    keyboard.press(Qt.Key.Key_V, CTRL)
    keyboard.press(Qt.Key.Key_S, CTRL)

    page = window.pages["orders"]
    assert isinstance(page, OrdersPage)
    qtbot.waitUntil(page.reading.isVisible, timeout=PATIENCE_MS)
    while not all(row.is_confirmed for row in page.reading.rows):
        keyboard.press(Qt.Key.Key_Return)
        assert keyboard.count < MOST_KEYS
    fill(keyboard, "Keep below, °C", "25")
    fill(keyboard, "Lasts unopened", "4 weeks")
    fill(keyboard, "Evidence for it", "House study 7")
    keyboard.press(Qt.Key.Key_S, CTRL)

    keyboard.press(Qt.Key.Key_P, CTRL)
    qtbot.waitUntil(page.check.isVisible, timeout=PATIENCE_MS)
    for part in page.check.parts:
        if part.judged().note:
            fill(keyboard, "What was decided", "Looked up, fits")
    keyboard.press(Qt.Key.Key_S, CTRL)
    sign_alone(window, keyboard)

    (order,) = orders_in(window.context.desk.store)
    assert order.standing is Standing.READY
    assert order.order.directions == "Apply thinly at night."
    assert "Yarrow" not in order.order.prescription
    version = order.version
    assert isinstance(version, Version)
    assert version.state is State.IN_USE
    assert version.order_id == order.order.id
    shares: list[tuple[str, Kind]] = [
        (line.ingredient, line.quantity) for line in version.content.lines
    ]
    assert [name for name, _ in shares] == ["Salicylic acid", "Wool fat", "White soft paraffin"]
    assert shares[1][1] == shares[2][1], "both fill up in equal parts"
    assert keyboard.count <= MOST_KEYS, keyboard.count


def fill(keyboard: Keyboard, name: str, text: str) -> None:
    """Go on to a field; its text isn't counted."""
    keyboard.tab_to(name)
    keyboard.type(text, counted=False)


def sign_alone(window: Window, keyboard: Keyboard) -> None:
    """Sign as who composed it, who stands last among those who may, for a reason."""
    dialog = window.asking.dialog if window.asking is not None else None
    assert dialog is not None
    assert dialog.person.currentText() != window.context.desk.person.name
    keyboard.tab_to(dialog.person.accessibleName(), back=True)
    keyboard.choose(f"{window.context.desk.person.name}, pharmacist")
    keyboard.type(pin_of(window), counted=False)
    keyboard.press(Qt.Key.Key_Return)
    keyboard.type("Alone on a Saturday", counted=False)
    keyboard.press(Qt.Key.Key_Return)


def pin_of(window: Window) -> str:
    pins = {name: pin for name, _, pin in sample_pins()}
    return pins[window.context.desk.person.name]
