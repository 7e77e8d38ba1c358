"""A patient's name is looked at, on record, and stands in no window's title."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtWidgets import QApplication

from formulary.orders.order import Purpose
from formulary.people import Identity
from formulary.verbs.take_order import Asked, take_order
from ui.orders.page import OrdersPage
from ui.window import Window

NAME = "Ottoline Zimtsternchen"


def test_a_patient_in_view_is_in_no_title(window: Window, settle: Callable[[], None]) -> None:
    asked = Asked(Purpose.PATIENT, patient=NAME, prescriber="Dr Zimtstern", target="100 g")
    window.show_page("orders", take_order(window.context.desk, asked).id)
    settle()
    page = window.pages["orders"]
    assert isinstance(page, OrdersPage)
    page.details.show_patient.trigger()
    settle()
    newest = window.context.desk.store.last_entry()
    assert newest is not None
    assert newest.verb == "view_patient", "looking at it is on record"
    assert "Zimtstern" in repr(window.context.desk.store.every(Identity))
    titles = [each.windowTitle() for each in QApplication.topLevelWidgets()]
    assert window.windowTitle() in titles
    assert not [each for each in titles if "Zimtstern" in each]
