"""The page Orders, by keys."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QWidget
from pytestqt.modeltest import ModelTester
from pytestqt.qtbot import QtBot

from formulary.bench.stages import Stage
from formulary.desk import Desk
from formulary.formula.content import Role
from formulary.formula.stability import WaterClass
from formulary.formula.version import State, Version
from formulary.orders.order import Order
from formulary.orders.plausibility import Opinion
from formulary.orders.standing import Standing
from formulary.people import Person, Post
from formulary.shelf_life.dating import colder_than_kept
from formulary.verbs.ask_prescriber import ask_prescriber
from formulary.verbs.date_preparation import date_as_signed
from formulary.verbs.keep_order_draft import order_draft
from formulary.verbs.look_up_order import order_with, seen
from formulary.verbs.view_patient import view_patient
from tests.helpers.ordered import PATIENT
from tests.ui.at_desk import plain, unnamed
from tests.ui.conftest import PATIENCE_MS
from tests.ui.orders.conftest import taken
from tests.ui.stock.keyboard import keys, typed
from ui.context import Context, PageName
from ui.forms.inputs import ChoiceInput, LineInput, TextInput
from ui.messages import Tone
from ui.orders.listing import AT_END
from ui.orders.order_model import Column
from ui.orders.page import OrdersPage
from ui.widgets.choice_box import ChoiceBox

Settle = Callable[[], None]

RX = """Rp.
Acidi salicylici 2,0
Vaselini albi ad 100,0
M. f. ungt.
D. S. Apply thinly at night.
Dr. Yarrow"""


def column(page: OrdersPage, which: Column) -> list[str]:
    model = page.listing.model
    return [plain(str(model.index(row, which).data())) for row in range(model.rowCount())]


def refused(context: Context) -> list[str]:
    return [each.message.key for each in context.say.history if each.tone is Tone.REFUSAL]


def visible_texts(page: QWidget) -> str:
    """Return every text of labels in view."""
    from PySide6.QtWidgets import QLabel

    return "\n".join(each.text() for each in page.findChildren(QLabel) if each.isVisible())


def choose(box: ChoiceBox, value: str) -> None:
    """Open the list by an arrow, go down to a value and take it."""
    box.setFocus()
    QTest.keyClick(box, Qt.Key.Key_Down)
    listed = box.view()
    QTest.keyClick(listed, Qt.Key.Key_Home)
    for _ in range(box.findData(value)):
        QTest.keyClick(listed, Qt.Key.Key_Down)
    QTest.keyClick(listed, Qt.Key.Key_Return)
    assert box.currentData() == value


def fill(page: OrdersPage, **texts: str) -> None:
    """Type into fields of the form, each reached by its name."""
    form = page.form.form
    assert form is not None
    for name, text in texts.items():
        form.inputs[name].setFocus()
        if "\n" in text:
            form.inputs[name].set_text(text)
        else:
            typed(text)


@pytest.fixture
def opened(page: OrdersPage, settle: Settle) -> Callable[[Order], None]:
    """Return what opens an order from the list by Enter."""

    def open_order(order: Order) -> None:
        page.shown()
        settle()
        page.listing.table.make_current(page.listing.model.row_of(order.id))
        page.listing.table.setFocus()
        keys(page, "Return")
        settle()

    return open_order


def test_the_list_names_no_patient_and_says_what_is_next(
    page: OrdersPage, desk: Desk, settle: Settle
) -> None:
    first, _ = taken(desk), taken(desk, target="")
    ask_prescriber(desk, first.id, "Is 10 % meant?")
    page.shown()
    settle()
    assert column(page, Column.STANDING) == ["waiting for prescriber", "incomplete"]
    assert plain(page.listing.waiting.text()) == f"1 order waits for the prescriber: {first.number}"
    assert "Zimt" not in str([column(page, each) for each in Column])


def test_the_list_is_narrowed_to_what_stands_so(
    page: OrdersPage, desk: Desk, settle: Settle
) -> None:
    taken(desk)
    page.shown()
    settle()
    choose(page.listing.choice, Standing.READY.value)
    settle()
    assert column(page, Column.NUMBER) == []
    choose(page.listing.choice, Standing.TO_CHECK.value)
    settle()
    assert column(page, Column.STANDING) == ["to be checked"]


def test_the_model_keeps_to_qt_s_rules(
    page: OrdersPage, desk: Desk, settle: Settle, qtmodeltester: ModelTester
) -> None:
    taken(desk)
    page.shown()
    settle()
    qtmodeltester.check(page.listing.model)  # type: ignore[no-untyped-call]


def test_an_order_is_taken_by_keys(page: OrdersPage, desk: Desk, settle: Settle) -> None:
    keys(page, "Ctrl+N")
    settle()
    fill(
        page,
        patient=PATIENT,
        age="34 years",
        allergies="none",
        formula="PA-001 Zinc paste 25 %",
        target="3 x 60 g",
        directions="Thinly at night.",
        treatment_days="14",
    )
    keys(page, "Ctrl+S")
    settle()
    order = page.details._seen
    assert order is not None
    assert order.standing is Standing.TO_CHECK
    assert plain(page.details.title.text()).startswith("ORD26-0001")
    people = view_patient(desk, order.order.id)
    assert (people.patient, people.details.age_months) == (PATIENT, 34 * 12)
    assert people.details.no_allergies


def test_what_can_t_be_read_is_said_at_its_field(
    page: OrdersPage, context: Context, settle: Settle
) -> None:
    keys(page, "Ctrl+N")
    settle()
    fill(page, patient=PATIENT, age="34")
    keys(page, "Ctrl+S")
    settle()
    assert refused(context) == ["ui_orders.mend_first"]
    form = page.form.form
    assert form is not None
    focused = QApplication.focusWidget()
    assert focused is not None
    assert form.inputs["age"].isAncestorOf(focused)


def test_what_was_typed_for_a_new_order_comes_back(page: OrdersPage, settle: Settle) -> None:
    keys(page, "Ctrl+N")
    settle()
    fill(page, patient=PATIENT)
    keys(page, "Esc")
    settle()
    keys(page, "Ctrl+N")
    settle()
    form = page.form.form
    assert form is not None
    assert form.values()["patient"] == PATIENT


def test_what_was_typed_comes_back_after_a_crash(
    page: OrdersPage,
    desk: Desk,
    settle: Settle,
    context: Context,
    show: Callable[[OrdersPage], None],
    qtbot: QtBot,
) -> None:
    keys(page, "Ctrl+N")
    settle()
    fill(page, patient=PATIENT, prescription=RX)
    qtbot.waitUntil(lambda: bool(order_draft(desk)), timeout=PATIENCE_MS)
    again = OrdersPage(context)
    show(again)
    keys(again, "Ctrl+N")
    settle()
    assert again.form.form is not None
    typed_before = again.form.form.values()
    assert (typed_before["patient"], typed_before["prescription"]) == (PATIENT, RX)
    keys(again, "Ctrl+S")
    settle()
    assert order_draft(desk) == {}


def test_a_known_patient_is_picked_and_not_typed_twice(
    page: OrdersPage, desk: Desk, settle: Settle
) -> None:
    first = taken(desk)
    keys(page, "Ctrl+N")
    settle()
    fill(page, patient="zim")
    keys(page, "F4")
    settle()
    assert desk.store.history(limit=10_000)[-1].verb == "find_person"
    keys(page, "Return")
    form = page.form.form
    assert form is not None
    values = form.values()
    assert (values["patient"], values["allergies"]) == (PATIENT, "Wool fat")
    assert (values["telephone"], plain(values["weight"])) == ("0555 0199", "72 kg")
    keys(page, "Ctrl+S")
    settle()
    second = page.details._seen
    assert second is not None
    assert second.order.patient_id == first.patient_id
    assert view_patient(desk, second.order.id).details.allergies == ("Wool fat",)


def test_another_name_after_picking_is_another_patient(
    page: OrdersPage, desk: Desk, settle: Settle
) -> None:
    first = taken(desk)
    keys(page, "Ctrl+N")
    settle()
    fill(page, patient="zim")
    keys(page, "F4")
    settle()
    keys(page, "Return")
    form = page.form.form
    assert form is not None
    form.inputs["patient"].setFocus()
    keys(page, "Ctrl+A")
    typed("Rosa Zimtmann")
    keys(page, "Ctrl+S")
    settle()
    second = page.details._seen
    assert second is not None
    assert second.order.patient_id != first.patient_id
    assert view_patient(desk, first.id).patient == PATIENT


def test_escape_leaves_the_list_of_known_people_first(
    page: OrdersPage, desk: Desk, settle: Settle
) -> None:
    taken(desk)
    keys(page, "Ctrl+N")
    settle()
    fill(page, patient="zim")
    keys(page, "F4")
    settle()
    assert page.form.known.isVisible()
    keys(page, "Esc")
    assert not page.form.known.isVisible()
    assert page.form.isVisible()


def test_a_prescriber_is_found_with_the_telephone(page: OrdersPage, settle: Settle) -> None:
    keys(page, "Ctrl+N")
    settle()
    fill(page, patient=PATIENT, prescriber="Dr Xenia Yarrow", prescriber_telephone="0555 0144")
    keys(page, "Ctrl+S")
    settle()
    keys(page, "Ctrl+I")
    settle()
    assert "0555 0144" in visible_texts(page)
    keys(page, "Esc")
    keys(page, "Ctrl+N")
    settle()
    fill(page, patient="Rosa Zimtmann", prescriber="yarrow")
    keys(page, "F4")
    settle()
    keys(page, "Return")
    form = page.form.form
    assert form is not None
    values = form.values()
    assert (values["prescriber"], values["prescriber_telephone"]) == (
        "Dr Xenia Yarrow",
        "0555 0144",
    )
    assert values["patient"] == "Rosa Zimtmann"


def test_looking_at_the_patient_is_on_record(
    page: OrdersPage, desk: Desk, opened: Callable[[Order], None], settle: Settle
) -> None:
    opened(taken(desk))
    assert "Zimt" not in visible_texts(page)
    keys(page, "Ctrl+I")
    settle()
    assert PATIENT in visible_texts(page)
    assert desk.store.history(limit=10_000)[-1].verb == "view_patient"


def test_locking_puts_the_patient_out_of_view(
    page: OrdersPage,
    desk: Desk,
    opened: Callable[[Order], None],
    settle: Settle,
    context: Context,
) -> None:
    opened(taken(desk))
    keys(page, "Ctrl+I")
    settle()
    context.lock()
    assert PATIENT not in visible_texts(page)
    context.seat(desk)
    keys(page, "Ctrl+E")
    settle()
    context.lock()
    settle()
    assert page.details.isVisible()


def test_a_query_blocks_until_its_answer_is_entered(
    page: OrdersPage, desk: Desk, opened: Callable[[Order], None], settle: Settle
) -> None:
    order = taken(desk)
    opened(order)
    keys(page, "Ctrl+U")
    typed("Is 10 % meant?")
    keys(page, "Return")
    settle()
    assert "Is 10 % meant?" in plain(page.details.blocks.text())
    assert "no answer yet" in plain(page.details.queries.text())
    keys(page, "Ctrl+Y")
    typed("Yes.")
    keys(page, "Return")
    settle()
    assert plain(page.details.queries.text()).endswith("Yes.")
    assert seen(desk.store, order_with(desk.store, order.id)).standing is Standing.TO_CHECK


def test_a_checked_order_is_started_and_goes_to_the_bench(
    page: OrdersPage,
    desk: Desk,
    signing: list[str],
    opened: Callable[[Order], None],
    settle: Settle,
    context: Context,
) -> None:
    order = taken(desk)
    wanted: list[tuple[str, object]] = []
    context.page_wanted.connect(lambda name, subject: wanted.append((name, subject)))
    opened(order)
    keys(page, "Ctrl+P")
    settle()
    facts = visible_texts(page.check)
    assert "Wool fat" in facts
    for part in page.check.parts:
        if part.judged().note:
            part.doubt.inputs["decision"].setFocus()
            typed("Compared, none in it")
    keys(page, "Ctrl+S")
    settle()
    assert [plain(each) for each in signing] == [f"Plausibility check of {order.number}"]
    assert page.details._seen is not None
    assert page.details._seen.standing is Standing.READY
    keys(page, "Ctrl+B")
    keys(page, "Return")
    settle()
    (row,) = [each for each in desk.store.register() if each.lot == wanted[0][1]]
    assert (wanted[0][0], row.stage) == (PageName.BENCH.value, Stage.PLANNED)


def test_a_doubt_left_undecided_is_pointed_at_once_and_what_was_signed_comes_back(
    page: OrdersPage,
    desk: Desk,
    signing: list[str],
    opened: Callable[[Order], None],
    settle: Settle,
    context: Context,
) -> None:
    opened(taken(desk))
    keys(page, "Ctrl+P")
    settle()
    first, *others = [part for part in page.check.parts if part.judged().note]
    for part in others:
        part.doubt.inputs["decision"].setFocus()
        typed("Compared, none in it")
    keys(page, "Ctrl+S")
    settle()
    assert signing == []
    assert refused(context) == ["orders.check.undecided"]
    focus = QApplication.focusWidget()
    assert focus is not None
    assert first.doubt.inputs["decision"].isAncestorOf(focus)
    keys(page, "Ctrl+S")
    settle()
    assert len(signing) == 1
    blocks = visible_texts(page.details)
    assert "Doubtful and not decided" in blocks
    assert ".." not in blocks
    keys(page, "Ctrl+P")
    settle()
    decided = {part.item: part.judged().decision for part in page.check.parts}
    assert [decided[each.item] for each in others] == ["Compared, none in it"] * len(others)
    assert decided[first.item] == ""


def test_what_is_together_in_it_is_judged_with_its_amounts(
    page: OrdersPage, desk: Desk, opened: Callable[[Order], None], settle: Settle
) -> None:
    opened(taken(desk))
    keys(page, "Ctrl+P")
    settle()
    (together,) = [
        line
        for line in plain(visible_texts(page.check)).splitlines()
        if line.startswith("Together in it")
    ]
    assert "Zinc oxide: 1 part, Wheat starch: 1 part" in together


def test_whoever_may_not_sign_the_check_is_told_before_it_and_led_elsewhere(
    page: OrdersPage, desk: Desk, context: Context, opened: Callable[[Order], None], settle: Settle
) -> None:
    technician = next(e for e in desk.store.every(Person) if e.post is Post.TECHNICIAN)
    context.seat(replace(desk, person=technician))
    opened(taken(desk))
    assert "A pharmacist signs the plausibility check" in page.details.who_signs.text()
    focus = QApplication.focusWidget()
    assert focus is not None
    assert focus.accessibleName() != page.details.check.text()
    keys(page, "Ctrl+P")
    settle()
    assert "A pharmacist signs" in page.check.who_signs.text()


def test_tab_takes_the_only_formula_that_fits_and_nothing_is_wrong_while_one_types(
    page: OrdersPage, settle: Settle
) -> None:
    keys(page, "Ctrl+N")
    settle()
    assert page.form.form is not None
    made = page.form.form.inputs["formula"]
    assert isinstance(made, LineInput)
    made.setFocus()
    typed("zinc pas")
    assert made.edit.note.isHidden()
    assert made.edit.line.property("role") != "stop"
    settle()
    line = made.edit.line
    completer = line.completer()
    assert completer is not None
    listed = completer.popup()
    assert listed is not None
    assert listed.isVisible()
    assert listed.geometry().top() > line.mapToGlobal(line.rect().center()).y() + line.height() // 3
    keys(page, "Tab")
    assert plain(made.text()) == "PA-001 Zinc paste 25 %"
    assert made.sound
    made.setFocus()
    made.edit.line.selectAll()
    typed("xyzzy")
    assert not made.edit.note.isHidden()
    assert made.edit.line.property("role") == "stop"


def test_the_prescription_shows_eight_lines(page: OrdersPage, settle: Settle) -> None:
    keys(page, "Ctrl+N")
    settle()
    assert page.form.form is not None
    made = page.form.form.inputs["prescription"]
    assert isinstance(made, TextInput)
    assert made.box.viewport().height() >= 8 * made.box.fontMetrics().lineSpacing()


def test_tab_goes_through_the_items_to_the_signature(
    page: OrdersPage, desk: Desk, opened: Callable[[Order], None], settle: Settle
) -> None:
    opened(taken(desk))
    keys(page, "Ctrl+P")
    settle()
    passed = []
    for _ in range(30):
        focus = QApplication.focusWidget()
        assert focus is not None
        passed.append(focus.accessibleName())
        if passed[-1] == "Sign the check":
            break
        keys(page, "Tab")
    opinions = [each for each in passed if "opinion" in each.casefold()]
    assert len(opinions) == len(page.check.parts)
    assert passed[-1] == "Sign the check"
    keys(page, "Tab")
    back = QApplication.focusWidget()
    assert back is not None
    assert back.accessibleName() == "Back"


def test_a_doubt_without_a_note_isn_t_signed(
    page: OrdersPage,
    desk: Desk,
    signing: list[str],
    opened: Callable[[Order], None],
    settle: Settle,
    context: Context,
) -> None:
    opened(taken(desk))
    keys(page, "Ctrl+P")
    settle()
    first = page.check.parts[0]
    opinion = first.opinion.inputs["opinion"]
    assert isinstance(opinion, ChoiceInput)
    choose(opinion.box, Opinion.DOUBTFUL.value)
    keys(page, "Ctrl+S")
    settle()
    assert signing == []
    assert refused(context) == ["orders.check.no_note"]


def test_a_prescription_becomes_a_one_off_line_by_line(
    page: OrdersPage, desk: Desk, settle: Settle
) -> None:
    keys(page, "Ctrl+N")
    settle()
    fill(page, patient=PATIENT, treatment_days="14", prescription=RX)
    keys(page, "Ctrl+S")
    settle()
    reading = page.reading
    assert reading.isVisible()
    assert [row._line.text for row in reading.rows][:2] == ["Rp.", "Acidi salicylici 2,0"]
    while waiting := [row for row in reading.rows if not row.is_confirmed]:
        keys(page, "Return")
        assert waiting[0].is_confirmed, waiting[0].trouble.text()
    assert reading.form.values()["water"] == WaterClass.NON_AQUEOUS.value
    reading.form.inputs["below"].setFocus()
    typed("25")
    reading.form.inputs["lasts"].setFocus()
    typed("4 weeks")
    reading.form.inputs["reference"].setFocus()
    typed("House study 7")
    keys(page, "Ctrl+S")
    settle()
    found = page.details._seen
    assert found is not None
    assert found.order.one_off
    assert (found.order.target, found.order.directions) == ("100 g", "Apply thinly at night.")
    assert "Yarrow" not in found.order.prescription
    version = desk.store.get(Version, found.order.version_id)
    assert version is not None
    assert version.state is State.DRAFT
    assert version.content.water is not None
    found_date = date_as_signed(desk.house, version.content, desk.today)
    assert found_date is not None
    assert colder_than_kept(found_date, version.content.storage) is None
    names = [(line.ingredient, line.role) for line in version.content.lines]
    assert names == [("Salicylic acid", Role.ACTIVE), ("White soft paraffin", Role.BASE)]


def test_a_line_left_out_needs_its_reason(page: OrdersPage, settle: Settle) -> None:
    keys(page, "Ctrl+N")
    settle()
    fill(page, patient=PATIENT, prescription=RX)
    keys(page, "Ctrl+S")
    settle()
    row = page.reading.rows[1]
    row.ingredient.setFocus()
    row.ingredient.line.clear()
    keys(page, "Return")
    assert not row.is_confirmed
    assert "set aside without a reason" in plain(row.trouble.text())
    row.aside.setFocus()
    typed("Not wanted any more")
    keys(page, "Return")
    assert row.is_confirmed


def test_a_near_house_formula_can_be_made_instead(
    page: OrdersPage, desk: Desk, settle: Settle
) -> None:
    keys(page, "Ctrl+N")
    settle()
    fill(page, patient=PATIENT, prescription=RX)
    keys(page, "Ctrl+S")
    settle()
    assert page.reading.near.texts()
    (first, *_) = page.reading.near._shown
    (use,) = first.actions()
    use.trigger()
    settle()
    found = page.details._seen
    assert found is not None
    assert not found.order.one_off
    version = desk.store.get(Version, found.order.version_id)
    assert version is not None
    assert version.state is State.IN_USE
    assert found.order.directions == "Apply thinly at night."


def test_an_order_is_changed_and_its_people_stay(
    page: OrdersPage, desk: Desk, opened: Callable[[Order], None], settle: Settle
) -> None:
    order = taken(desk)
    opened(order)
    keys(page, "Ctrl+E")
    settle()
    keys(page, "Ctrl+A")
    typed("90 g")
    keys(page, "Ctrl+S")
    settle()
    changed = order_with(desk.store, order.id)
    assert (changed.target, changed.patient_id) == ("90 g", order.patient_id)
    assert view_patient(desk, order.id).patient == PATIENT


def test_an_order_is_cancelled_with_a_reason_and_found_among_the_ended(
    page: OrdersPage, desk: Desk, opened: Callable[[Order], None], settle: Settle
) -> None:
    opened(taken(desk))
    keys(page, "Ctrl+Shift+Del")
    typed("In hospital")
    keys(page, "Return")
    settle()
    keys(page, "Esc")
    settle()
    assert column(page, Column.NUMBER) == []
    choose(page.listing.choice, AT_END)
    settle()
    assert column(page, Column.STANDING) == ["cancelled"]


@pytest.mark.parametrize("part", ["Ctrl+N", "Ctrl+P", "Ctrl+E"])
def test_everything_has_a_name(
    page: OrdersPage, desk: Desk, opened: Callable[[Order], None], settle: Settle, part: str
) -> None:
    opened(taken(desk))
    if part == "Ctrl+N":
        keys(page, "Esc")
    keys(page, part)
    settle()
    assert unnamed(page) == []
