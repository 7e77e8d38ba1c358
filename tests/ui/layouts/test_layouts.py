"""A label is laid out by keys and by the mouse, kept as a draft and signed into use."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from PySide6.QtCore import QPoint, QPointF, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QWidget

from formulary.desk import Desk
from formulary.finding import Severity
from formulary.labels.design import Align, Box, Design, Thing
from formulary.labels.design_text import read_design, write_design
from formulary.labels.stock import LabelStock, label_stock
from formulary.verbs.house_layouts import (
    begun,
    layout_called,
    layouts,
    put_layout_in_use,
    save_layout,
)
from formulary.verbs.stocks_of_house import designs_in_use
from formulary.workstation import Workstation
from tests.ui.at_desk import plain, start, unnamed
from tests.ui.stock.keyboard import keys
from ui.context import Context, Signing, Topic
from ui.forms.inputs import ChoiceInput, LineInput
from ui.forms.record_table import RecordTable
from ui.labels.page import LabelsPage
from ui.layouts.panel import LayoutsPanel
from ui.settings.page import SettingsPage

Show = Callable[[QWidget], None]
Settle = Callable[[], None]
PIN = "3141"
DARK = 60
SHIFT = Qt.KeyboardModifier.ShiftModifier


@pytest.fixture
def signed(context: Context) -> list[str]:
    """Sign whatever asks for it with the PIN, and return what the signatures mean."""
    meant: list[str] = []

    def sign(wanted: Signing) -> None:
        meant.append(wanted.meaning)
        wanted.act(PIN, lambda: None, context.say.refuse)

    context.signature_wanted.connect(sign)
    return meant


@pytest.fixture
def page(context: Context, desk: Desk, show: Show, settle: Settle) -> SettingsPage:
    """Return Settings at a layout for the stock of 100 x 70, with a label to look at."""
    start(desk, "zinc paste", "3 x 60 g")
    made = SettingsPage(context)
    show(made)
    made.sections.come_to("layouts")
    settle()
    panel = made.layouts
    panel.stock.setCurrentIndex(panel.stock.findData("100x70"))
    settle()
    return made


@pytest.fixture
def panel(page: SettingsPage) -> LayoutsPanel:
    return page.layouts


def design(panel: LayoutsPanel) -> Design:
    assert panel.design is not None
    return panel.design


def said(context: Context) -> str:
    """Return what was said last."""
    return plain(context.said(context.say.history[-1].message))


def come_to(panel: LayoutsPanel, thing: Thing) -> Box:
    """Go to an element with Tab, as the label has the focus."""
    panel.canvas.setFocus(Qt.FocusReason.TabFocusReason)
    for box in design(panel).boxes:
        if box.thing is thing:
            return box
        QTest.keyClick(panel.canvas, Qt.Key.Key_Tab)
    raise AssertionError(thing)


def type_into(panel: LayoutsPanel, name: str, text: str) -> None:
    line = panel.side.form.inputs[name]
    assert isinstance(line, LineInput)
    line.edit.line.setFocus()
    line.edit.line.selectAll()
    QTest.keyClicks(line.edit.line, text)
    QTest.keyClick(line.edit.line, Qt.Key.Key_Return)


def stops(panel: LayoutsPanel) -> list[str]:
    return [e.field for e in panel.findings.shown if e.severity is Severity.STOP]


def test_a_first_layout_is_sound_and_shows_a_real_label(panel: LayoutsPanel) -> None:
    assert stops(panel) == []
    assert "Nothing stops this layout" in plain(panel.sound.text())
    assert panel.example.currentText() == "Zinc paste 25 %"
    assert not panel.refused.isVisible()


def test_arrows_move_an_element_by_half_a_millimetre_and_shift_sizes_it(
    panel: LayoutsPanel, settle: Settle
) -> None:
    before = come_to(panel, Thing.DIRECTIONS)
    QTest.keyClick(panel.canvas, Qt.Key.Key_Right)
    QTest.keyClick(panel.canvas, Qt.Key.Key_Down)
    QTest.keyClick(panel.canvas, Qt.Key.Key_Left, SHIFT)
    settle()
    after = design(panel).box(Thing.DIRECTIONS)
    assert after.left == pytest.approx(before.left + 0.5)
    assert after.top == pytest.approx(before.top + 0.5)
    assert after.width == pytest.approx(before.width - 0.5)
    assert "directions: 3 mm from the left" in plain(panel.canvas.accessibleDescription())


def test_what_is_wrong_is_told_while_it_is_moved_and_undone(
    panel: LayoutsPanel, settle: Settle
) -> None:
    before = design(panel)
    come_to(panel, Thing.NAME)
    for _ in range(4):
        QTest.keyClick(panel.canvas, Qt.Key.Key_Up)
    settle()
    assert stops(panel)
    assert "can’t be put in use" in plain(panel.sound.text())
    assert any("lie on each other" in each for each in panel.findings.texts())
    for _ in range(4):
        keys(panel, "Ctrl+Z")
    settle()
    assert design(panel) == before
    assert stops(panel) == []
    keys(panel, "Ctrl+Y")
    settle()
    assert design(panel) != before


def test_tab_passes_every_element_and_leaves_the_label(panel: LayoutsPanel) -> None:
    come_to(panel, design(panel).boxes[-1].thing)
    assert panel.side.list.currentRow() == len(design(panel).boxes) - 1
    QTest.keyClick(panel.canvas, Qt.Key.Key_Tab)
    assert not panel.canvas.hasFocus()


def test_the_mouse_drags_an_element_onto_the_grid_in_one_undoable_act(
    panel: LayoutsPanel, settle: Settle
) -> None:
    canvas, before = panel.canvas, design(panel)
    box = before.box(Thing.PICTOGRAMS)
    at = canvas.place_of(box).center()
    there = at - QPointF(7.1, 2.2) * canvas.dots_per_mm
    left = Qt.MouseButton.LeftButton
    QTest.mousePress(canvas, left, pos=at.toPoint())
    QTest.mouseMove(canvas, (at + (there - at) / 2).toPoint())
    QTest.mouseMove(canvas, there.toPoint())
    QTest.mouseRelease(canvas, left, pos=there.toPoint())
    settle()
    moved = design(panel).box(Thing.PICTOGRAMS)
    assert moved.left == pytest.approx(box.left - 7.1, abs=0.5)
    assert (moved.left * 2) % 1 == (moved.top * 2) % 1 == 0
    keys(panel, "Ctrl+Z")
    assert design(panel) == before


def test_the_corner_of_an_element_sizes_it(panel: LayoutsPanel, settle: Settle) -> None:
    canvas = panel.canvas
    box = design(panel).box(Thing.PICTOGRAMS)
    corner = canvas.place_of(box).bottomRight().toPoint() - QPoint(2, 2)
    left = Qt.MouseButton.LeftButton
    QTest.mousePress(canvas, left, pos=corner)
    QTest.mouseMove(canvas, corner - QPoint(round(5 * canvas.dots_per_mm), 0))
    QTest.mouseRelease(canvas, left, pos=corner)
    settle()
    assert design(panel).box(Thing.PICTOGRAMS).width == pytest.approx(box.width - 5, abs=0.6)


def test_measures_type_and_alignment_are_typed(panel: LayoutsPanel, settle: Settle) -> None:
    come_to(panel, Thing.NAME)
    type_into(panel, "left", "12.5")
    type_into(panel, "width", "60")
    type_into(panel, "size", "8")
    align = panel.side.form.inputs["align"]
    assert isinstance(align, ChoiceInput)
    align.box.setCurrentIndex(align.box.findData(Align.CENTRE.value))
    settle()
    box = design(panel).box(Thing.NAME)
    assert (box.left, box.width, box.size_pt, box.align) == (12.5, 60, 8, Align.CENTRE)
    assert "name" in stops(panel)


def test_the_order_of_reading_is_changed_and_elements_come_and_go(
    panel: LayoutsPanel, settle: Settle
) -> None:
    come_to(panel, Thing.STRENGTH)
    panel.side.list.setFocus()
    keys(panel, "Ctrl+Down")
    things = [each.thing for each in design(panel).boxes]
    assert things.index(Thing.STRENGTH) == things.index(Thing.QUANTITY) + 1
    keys(panel, "Ctrl+Backspace")
    assert Thing.STRENGTH not in design(panel).things
    side = panel.side
    side.things.setCurrentIndex(side.things.findData(Thing.STRENGTH.value))
    side.add.trigger()
    settle()
    assert design(panel).boxes[-1].thing is Thing.STRENGTH
    assert stops(panel)


def test_a_layout_is_kept_put_in_use_by_a_signature_and_printed_by(
    panel: LayoutsPanel, context: Context, desk: Desk, settle: Settle, signed: list[str]
) -> None:
    panel.canvas.setFocus()
    keys(panel, "Ctrl+U")
    assert signed == []
    assert "Keep it as a draft" in said(context)
    keys(panel, "Ctrl+D")
    settle()
    assert layout_called(desk.store, "100x70").is_draft
    keys(panel, "Ctrl+U")
    settle()
    assert "labels on 100x70 are printed by version 1" in signed[0]
    assert designs_in_use(desk.store)["100x70"] == design(panel)
    assert "printed by version 1" in said(context)
    assert plain(panel.sound.text()) == "Labels on this stock are printed by this layout."
    panel.end.trigger()
    settle()
    assert designs_in_use(desk.store) == {}
    assert [each.in_use for each in layouts(desk.store)] == [False]


def test_with_a_stop_a_layout_is_kept_but_not_put_in_use(
    panel: LayoutsPanel, context: Context, desk: Desk, settle: Settle, signed: list[str]
) -> None:
    come_to(panel, Thing.LOT)
    panel.side.list.setFocus()
    keys(panel, "Ctrl+Backspace")
    panel.canvas.setFocus()
    keys(panel, "Ctrl+D")
    settle()
    assert "one Stop is to be mended" in plain(panel.use.toolTip())
    assert plain(panel.sound.text()) == plain(panel.use.toolTip())
    line = panel.side.form.inputs["size"]
    assert isinstance(line, LineInput)
    line.edit.line.setFocus()
    typed = line.edit.line.text()
    assert typed
    keys(line.edit.line, "Ctrl+U")
    settle()
    assert signed == []
    assert line.edit.line.text() == typed
    assert "one Stop is to be mended" in said(context)
    assert layout_called(desk.store, "100x70").is_draft


def test_a_stock_of_any_size_is_laid_out_and_offered_for_printing(
    page: SettingsPage,
    context: Context,
    desk: Desk,
    show: Show,
    settle: Settle,
    signed: list[str],
) -> None:
    panel = page.layouts
    for name, text in {"code": "mine", "width": "120", "height": "80"}.items():
        panel.measures.form.inputs[name].set_text(text)
    panel.measures.take_typed.trigger()
    settle()
    assert panel.stock.currentText() == "mine: not kept yet"
    panel.undo.trigger()
    assert panel.stock.currentData() == "100x70"
    panel.redo.trigger()
    page.layouts.begin()
    settle()
    assert panel.stock.findText("mine: not kept yet") >= 0
    assert stops(panel) == []
    panel.canvas.setFocus()
    keys(panel, "Ctrl+D")
    settle()
    kept = read_design(layout_called(desk.store, "mine").text)
    assert kept.stock == LabelStock("mine", 120, 80, 2.5, 203)
    keys(panel, "Ctrl+U")
    settle()
    assert signed
    labels = LabelsPage(context)
    labels.take(start(desk, "zinc paste", "60 g").lot)
    show(labels)
    labels.order.choose_stock("mine")
    settle()
    assert labels.save_pdf.isEnabled()
    assert "120 x 80 mm" in plain(labels.preview.caption.text())
    page.workstation.begin()
    settle()
    for name in ("stock", "shelf_stock"):
        made = page.workstation.form.inputs[name]
        assert isinstance(made, ChoiceInput)
        made.set_text("mine")
        assert plain(made.box.currentText()) == "mine: 120 x 80 mm"


def type_measure(panel: LayoutsPanel, name: str, text: str, key: Qt.Key) -> None:
    line = panel.measures.form.inputs[name]
    assert isinstance(line, LineInput)
    line.edit.line.setFocus()
    line.edit.line.selectAll()
    QTest.keyClicks(line.edit.line, text)
    QTest.keyClick(line.edit.line, key)


def test_measures_are_taken_with_enter_and_on_leaving_a_field_and_elements_fitted_to_them(
    panel: LayoutsPanel, context: Context, settle: Settle
) -> None:
    before = design(panel)
    # A stock that comes along keeps its measures.
    type_measure(panel, "width", "90", Qt.Key.Key_Tab)
    assert design(panel) == before
    keys(panel, "Ctrl+D")
    assert "Give yours another name" in said(context)
    type_measure(panel, "code", "mine", Qt.Key.Key_Tab)
    assert (design(panel).stock.code, design(panel).stock.width_mm) == ("mine", 90)
    assert "fitted to mine" in said(context)
    type_measure(panel, "height", "60", Qt.Key.Key_Return)
    settle()
    after = design(panel)
    assert after.stock.height_mm == 60
    assert all(each.place.within(after.inside) for each in after.boxes)
    assert after.box(Thing.STAMP).width == pytest.approx(after.inside.width)
    assert after.box(Thing.SQUARE).width == before.box(Thing.SQUARE).width


def test_measures_that_no_label_has_are_refused_with_a_sentence(
    panel: LayoutsPanel, context: Context
) -> None:
    before = design(panel)
    panel.measures.form.inputs["width"].set_text("5")
    panel.measures.take_typed.trigger()
    assert "20 to 300 mm" in said(context)
    assert design(panel) == before


def test_everything_has_a_name_and_a_finding_leads_to_its_element(
    page: SettingsPage, settle: Settle
) -> None:
    assert unnamed(page.layouts) == []
    panel = page.layouts
    come_to(panel, Thing.USE_BY)
    type_into(panel, "size", "6")
    settle()
    panel.findings.wanted.emit("use_by")
    assert panel.canvas.hasFocus()
    assert QApplication.focusWidget() is panel.canvas


def test_what_was_not_kept_is_there_after_a_crash(
    panel: LayoutsPanel, context: Context, show: Show, settle: Settle
) -> None:
    come_to(panel, Thing.NAME)
    QTest.keyClick(panel.canvas, Qt.Key.Key_Right)
    settle()
    left = design(panel)
    again = SettingsPage(context)
    show(again)
    again.sections.come_to("layouts")
    settle()
    assert design(again.layouts) == left
    assert again.layouts.stock.currentData() == "100x70"
    assert "isn’t kept yet" in again.layouts.state.text()
    # Another stock in between takes nothing away either.
    for code in ("70x35", "100x70"):
        again.layouts.stock.setCurrentIndex(again.layouts.stock.findData(code))
        settle()
    assert design(again.layouts) == left
    again.layouts.keep.trigger()
    settle()
    third = SettingsPage(context)
    show(third)
    third.sections.come_to("layouts")
    settle()
    assert "isn’t kept yet" not in third.layouts.state.text()


def test_a_layout_put_in_use_elsewhere_shows_on_the_page_labels_at_once(
    context: Context, desk: Desk, show: Show, settle: Settle
) -> None:
    labels = LabelsPage(context)
    labels.take(start(desk, "zinc paste", "60 g").lot)
    show(labels)
    labels.order.choose_stock("100x70")
    settle()
    before = labels.preview.canvas.image.copy()
    first = begun(desk, label_stock("100x70"))
    put_layout_in_use(desk, save_layout(desk, write_design(first)).id, PIN)
    context.tell_changed(Topic.HOUSE)
    settle()
    assert labels.preview.canvas.image != before


def test_a_printer_prints_on_a_stock_of_the_house(
    context: Context, desk: Desk, show: Show, settle: Settle
) -> None:
    own = LabelStock("mine", 120, 80, 2)
    put_layout_in_use(desk, save_layout(desk, write_design(begun(desk, own))).id, PIN)
    made = SettingsPage(context)
    show(made)
    settle()
    made.take("printers")
    table = made.tables["printers"]
    assert isinstance(table, RecordTable)
    first, *others = table.rows()
    table.show_rows([{**first, "stock": "mine"}, *others])
    assert not table.go_to_trouble()
    table.show_rows([{**first, "stock": "yours"}, *others])
    assert table.go_to_trouble()
    assert "mine" in table.trouble.text()


def test_the_key_that_keeps_a_draft_deletes_nothing_and_keeps_what_is_typed(
    panel: LayoutsPanel, context: Context, desk: Desk, settle: Settle
) -> None:
    come_to(panel, Thing.DIRECTIONS)
    line = panel.side.form.inputs["size"]
    assert isinstance(line, LineInput)
    field = line.edit.line
    field.setFocus()
    field.selectAll()
    QTest.keyClicks(field, "9.5")
    keys(field, "Ctrl+D")
    settle()
    kept = read_design(layout_called(desk.store, "100x70").text)
    assert kept.box(Thing.DIRECTIONS).size_pt == 9.5
    field.setFocus()
    field.selectAll()
    keys(field, "Ctrl+D")
    settle()
    assert field.text() == "9.5"
    assert "Nothing was changed" in said(context)


def test_one_element_without_room_leaves_the_others_on_the_label_and_is_named(
    panel: LayoutsPanel, settle: Settle
) -> None:
    come_to(panel, Thing.NAME)
    type_into(panel, "width", "8")
    settle()
    assert panel.canvas.lost == {"name": "name"}
    assert "The name has no room" in panel.refused.text()
    # What has room stands there as before.
    seen = panel.canvas.image
    columns, rows = range(seen.width()), range(0, seen.height(), 3)
    assert any(seen.pixelColor(x, y).lightness() < DARK for y in rows for x in columns)


def test_the_page_opens_at_the_roll_of_this_workstation(
    context: Context, show: Show, settle: Settle
) -> None:
    context.seat(context.desk.seated_at(Workstation(stock="80x50")))
    made = SettingsPage(context)
    show(made)
    made.sections.come_to("layouts")
    settle()
    assert made.layouts.stock.currentData() == "80x50"
