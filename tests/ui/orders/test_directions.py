"""Directions at the form of an order: built from their parts by keys, and read as one types."""

from __future__ import annotations

from collections.abc import Callable

from formulary.desk import Desk
from formulary.orders.order import Order
from formulary.verbs.look_up_order import orders_in
from formulary.wording.directions import Use
from tests.helpers.ordered import PATIENT
from tests.ui.at_desk import plain, unnamed, version_of
from tests.ui.stock.keyboard import keys, typed
from ui.forms.directions_builder import DirectionsBuilder
from ui.forms.inputs import ChoiceInput, TextInput
from ui.orders.page import OrdersPage

Settle = Callable[[], None]


def begin(page: OrdersPage, desk: Desk, settle: Settle) -> None:
    """Take an order of a sample formula up to its directions."""
    keys(page, "Ctrl+N")
    settle()
    content = version_of(desk, "Hydrochlorothiazide").content
    write(page, "patient", PATIENT)
    write(page, "formula", f"{content.code} {content.title}")
    write(page, "target", "100 mL")


def write(page: OrdersPage, field: str, text: str) -> None:
    form = page.form.form
    assert form is not None
    form.inputs[field].setFocus()
    typed(text)


def choose(page: OrdersPage, field: str, value: str) -> None:
    form = page.form.form
    assert form is not None
    chosen = form.inputs[field]
    assert isinstance(chosen, ChoiceInput)
    chosen.box.setCurrentIndex(chosen.box.findData(value))


def fill(builder: DirectionsBuilder, field: str, text: str) -> None:
    builder.form.inputs[field].setFocus()
    typed(text)


def the_order(desk: Desk) -> Order:
    return orders_in(desk.store)[-1].order


def test_directions_are_built_in_the_patients_language_with_mg_beside_ml(
    page: OrdersPage, desk: Desk, settle: Settle
) -> None:
    begin(page, desk, settle)
    choose(page, "language", "de")
    keys(page, "Ctrl+D")
    settle()
    builder = page.form.builder
    assert builder.form.values()["use"] == Use.TAKE.value
    assert not builder.take.isEnabled()
    fill(builder, "amount", "2 mL")
    fill(builder, "number", "1")
    assert plain(builder.sentence.text()) == "2 mL (10 mg) einmal am Tag einnehmen."
    assert unnamed(page) == []
    keys(page, "Ctrl+Return")
    settle()
    keys(page, "Ctrl+S")
    settle()
    order = the_order(desk)
    assert order.language == "de"
    assert order.dosing is not None
    assert plain(order.directions) == "Take 2 mL (10 mg) by mouth once a day."


def test_text_changed_by_hand_counts_as_typed(page: OrdersPage, desk: Desk, settle: Settle) -> None:
    begin(page, desk, settle)
    keys(page, "Ctrl+D")
    settle()
    fill(page.form.builder, "amount", "2 mL")
    fill(page.form.builder, "number", "1")
    keys(page, "Ctrl+Return")
    settle()
    typed("Slowly. ")
    keys(page, "Ctrl+S")
    settle()
    order = the_order(desk)
    assert order.dosing is None
    assert "Slowly." in order.directions


def test_esc_puts_the_parts_away_before_the_form_is_left(
    page: OrdersPage, desk: Desk, settle: Settle
) -> None:
    begin(page, desk, settle)
    keys(page, "Ctrl+D")
    settle()
    fill(page.form.builder, "note", "Shake well")
    assert plain(page.form.builder.sentence.text()).startswith("Say how much")
    keys(page, "Esc")
    assert not page.form.builder.isVisible()
    assert page.form.isVisible()


def test_what_is_misread_is_named_as_one_types(
    page: OrdersPage, desk: Desk, settle: Settle
) -> None:
    begin(page, desk, settle)
    write(page, "directions", "Take .5 mg b.i.d.")
    form = page.form.form
    assert form is not None
    directions = form.inputs["directions"]
    assert isinstance(directions, TextInput)
    assert "“.5” begins with a decimal sign" in directions.meant.text()
    assert "Latin for “twice a day”" in directions.meant.text()
    assert directions.sound
