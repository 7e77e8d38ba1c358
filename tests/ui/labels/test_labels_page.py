from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest
from PySide6.QtCore import QSettings, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QFileDialog, QLabel, QLineEdit, QWidget
from pytestqt.qtbot import QtBot

from formulary.bench.stages import Stage
from formulary.desk import Desk
from formulary.labels.raster import rasterise
from formulary.messages import Message
from formulary.people import Identity
from formulary.preparation import Preparation
from formulary.verbs.start_preparation import Order
from formulary.workstation import Workstation
from tests.helpers.pdf_text import page_texts
from tests.ui.at_desk import packed_jars, plain, start, unnamed, version_of
from tests.ui.file_questions import choose_file
from tests.ui.stock.keyboard import typed
from ui.context import Context, Trial
from ui.files import SAVED
from ui.labels import screen_scale
from ui.labels.canvas import image_of
from ui.labels.page import LabelsPage

Show = Callable[[QWidget], None]
Settle = Callable[[], None]
CONTROL = Qt.KeyboardModifier.ControlModifier


@pytest.fixture
def no_printing(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    """Leave this computer without any printing program."""
    (tmp_path / "nothing").mkdir()
    monkeypatch.setenv("PATH", str(tmp_path / "nothing"))


@pytest.fixture
def recorded(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Path:
    """Put an lp in the way that records its arguments, one a line, and keeps the file."""
    folder = tmp_path / "programs"
    folder.mkdir()
    script = folder / "lp"
    script.write_text(
        "#!/bin/sh\n"
        f'for one in "$@"; do printf "%s\\n" "$one" >> "{tmp_path}/arguments"; done\n'
        f'for last; do :; done\n/bin/cp "$last" "{tmp_path}/printed.pdf"\n'
    )
    script.chmod(0o755)
    monkeypatch.setenv("PATH", str(folder))
    return tmp_path


@pytest.fixture
def preparation(desk: Desk) -> Preparation:
    return start(desk, "zinc paste", "3 x 60 g")


@pytest.fixture
def page(context: Context, preparation: Preparation, no_printing: None) -> LabelsPage:  # noqa: ARG001
    made = LabelsPage(context)
    made.take(preparation.lot)
    return made


def test_the_printer_and_the_roll_of_this_workstation_are_chosen(
    context: Context, preparation: Preparation, recorded: Path, show: Show
) -> None:
    assert recorded.exists()
    first, *_ = context.house.printers
    other = replace(first, name="Back room", queue="back", stock="100x50")
    house = replace(context.house, printers=(first, other))
    context.sit_down(
        context.desk.seated_at(Workstation(printer="Back room", stock="62x29")),
        house,
        context.people,
    )
    made = LabelsPage(context)
    made.take(preparation.lot)
    show(made)
    printer = made.order.chosen_printer()
    assert printer is not None
    assert (printer.name, made.order.chosen_stock().code) == ("Back room", "62x29")
    made.order.printer.setCurrentIndex(0)
    assert made.order.chosen_stock().code == first.stock


@pytest.mark.usefixtures("no_printing")
def test_the_title_never_parts_a_figure_from_its_unit(
    context: Context,
    desk: Desk,
    show: Show,
) -> None:
    made = LabelsPage(context)
    made.take(start(desk, "hydrocortisone", "2 x 50 g").lot)
    show(made)
    title = made.order.title.text()
    assert "1\N{NO-BREAK SPACE}%" in title
    assert "1 %" not in title


def type_into_line(line: QLineEdit, text: str) -> None:
    line.setFocus()
    QTest.keyClicks(line, text)


def type_into(page: LabelsPage, field: str, text: str) -> None:
    target = page.order.address.inputs[field].focusProxy()
    assert target is not None
    while target.focusProxy() is not None:
        target = target.focusProxy()
        assert target is not None
    target.setFocus()
    QTest.keyClicks(target, text)


def crowd(page: LabelsPage) -> None:
    """Give the smallest stock more to say than it holds."""
    page.order.choose_stock("62x29")
    type_into(page, "directions", " Wash your hands, apply thinly, wait until dry." * 3)


def kept(desk: Desk, lot: str) -> Preparation:
    found = desk.store.preparation(lot)
    assert found is not None
    return found


def refused(context: Context) -> list[Message]:
    return [each.message for each in context.say.history if each.tone == "refusal"]


def test_without_a_preparation_it_says_what_is_needed(context: Context, show: Show) -> None:
    page = LabelsPage(context)
    show(page)
    assert page.chooser.sentence.text().startswith("A label needs a started preparation.")


def test_enter_takes_the_preparation_started_last(
    context: Context, preparation: Preparation, show: Show, settle: Settle
) -> None:
    page = LabelsPage(context)
    show(page)
    QTest.keyClick(page.chooser.list, Qt.Key.Key_Return)
    settle()
    assert preparation.lot in page.order.facts.texts()


def test_before_packing_it_says_that_only_proofs_are_printed(page: LabelsPage, show: Show) -> None:
    show(page)
    assert page.issues.isVisible()
    assert "proofs" in page.issues.text()


def test_ctrl_p_without_a_printer_says_why(page: LabelsPage, context: Context, show: Show) -> None:
    show(page)
    type_into(page, "patient", "A")
    focused = QApplication.focusWidget()
    assert focused is not None
    QTest.keyClick(focused, Qt.Key.Key_P, CONTROL)
    assert [each.key for each in refused(context)] == ["ui_labels.nothing_prints"]


def test_the_leaflet_is_written_in_the_labels_language(
    page: LabelsPage,
    preparation: Preparation,
    show: Show,
    settle: Settle,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    out = tmp_path / "leaflet.pdf"
    choose_file(monkeypatch, out)
    show(page)
    QTest.keyClick(page, Qt.Key.Key_P, CONTROL | Qt.KeyboardModifier.ShiftModifier)
    settle()
    (text,) = page_texts(out.read_bytes())
    assert preparation.lot in text
    assert "Leaflet for the patient" in text


def test_the_preview_is_the_pdf_itself(
    page: LabelsPage, show: Show, settle: Settle, tmp_path: Path
) -> None:
    show(page)
    seen = page.preview.canvas.image
    page.save_to(tmp_path / "saved.pdf")
    settle()
    pdf = (tmp_path / "saved.pdf").read_bytes()
    assert seen == image_of(rasterise(pdf, 0, page.preview.dots_per_inch))


def test_the_preview_has_the_true_size_by_the_screens_real_dots(
    page: LabelsPage, show: Show, settle: Settle
) -> None:
    show(page)
    page.order.choose_stock("90x60")
    settle()
    dots = screen_scale.dots_per_inch(page.screen()) * page.devicePixelRatioF()
    assert page.preview.canvas.image.width() == pytest.approx(90 / 25.4 * dots, abs=1.01)


def test_a_ruler_held_against_the_screen_corrects_the_size(
    page: LabelsPage, show: Show, settle: Settle
) -> None:
    show(page)
    before = page.preview.canvas.image.width()
    QTest.keyClick(page, Qt.Key.Key_R)
    assert page.preview.canvas.ruled
    QTest.keyClicks(page.preview.measured.line, "80")
    QTest.keyClick(page.preview.measured.line, Qt.Key.Key_Return)
    settle()
    assert page.preview.canvas.image.width() == pytest.approx(before * 100 / 80, abs=2)


def test_twice_the_size_is_one_key(page: LabelsPage, show: Show, settle: Settle) -> None:
    show(page)
    before = page.preview.canvas.image.width()
    QTest.keyClick(page, Qt.Key.Key_Z)
    settle()
    assert page.preview.canvas.image.width() == pytest.approx(2 * before, abs=2)


def test_the_preview_follows_what_is_typed(page: LabelsPage, show: Show, settle: Settle) -> None:
    show(page)
    before = page.preview.canvas.image
    type_into(page, "patient", "Ottilie Brandmeer")
    settle()
    assert page.preview.canvas.image != before


def test_each_container_has_its_label_a_key_away(
    page: LabelsPage, show: Show, settle: Settle
) -> None:
    show(page)
    assert "Label 1 of 3" in page.preview.caption.text()
    QTest.keyClick(page, Qt.Key.Key_PageDown)
    settle()
    assert "Label 2 of 3" in page.preview.caption.text()


def test_what_does_not_fit_is_named_and_nothing_can_be_issued(
    page: LabelsPage, show: Show, settle: Settle
) -> None:
    show(page)
    crowd(page)
    settle()
    assert "on a label of stock 62x29 in a legible size" in page.preview.refusal.text()
    assert page.preview.refusal.text().startswith("Stop: There is no room for the ")
    assert not page.print_labels.isEnabled()
    assert not page.save_pdf.isEnabled()


def test_the_stock_that_would_fit_is_one_act_away(
    page: LabelsPage, show: Show, settle: Settle
) -> None:
    show(page)
    crowd(page)
    settle()
    page.preview.take_fitting.trigger()
    settle()
    assert not page.preview.refusal.isVisible()
    assert page.save_pdf.isEnabled()


def test_without_printers_it_says_so_and_offers_the_pdf(page: LabelsPage, show: Show) -> None:
    show(page)
    assert page.order.no_printer.isVisible()
    assert not page.print_labels.isEnabled()
    assert QApplication.focusWidget() is page._save_button


@pytest.fixture
def packed(context: Context, desk: Desk, no_printing: None) -> LabelsPage:  # noqa: ARG001
    """Return the page with three jars that are packed."""
    made = LabelsPage(context)
    made.take(packed_jars(desk, "zinc paste", "3 x 60 g").lot)
    return made


def test_enter_twice_saves_under_the_lot_in_the_folder_of_the_last_pdf(  # noqa: PLR0913, PLR0917
    page: LabelsPage,
    desk: Desk,
    preparation: Preparation,
    show: Show,
    settle: Settle,
    qtbot: QtBot,
    tmp_path: Path,
) -> None:
    QSettings().setValue(SAVED, str(tmp_path))
    show(page)
    QTest.keyClick(page._save_button, Qt.Key.Key_Return)
    (dialog,) = page.findChildren(QFileDialog)
    qtbot.waitUntil(dialog.isVisible)
    focused = dialog.focusWidget()
    assert focused is not None
    QTest.keyClick(focused, Qt.Key.Key_Return)
    settle()
    texts = page_texts((tmp_path / f"{preparation.lot}.pdf").read_bytes())
    assert len(texts) == 3
    assert all(preparation.lot in each for each in texts)
    assert [each.copies for each in desk.store.prints(preparation.id)] == [3]


def test_names_are_kept_with_the_preparation(
    page: LabelsPage,
    desk: Desk,
    preparation: Preparation,
    show: Show,
    settle: Settle,
    tmp_path: Path,
) -> None:
    show(page)
    type_into(page, "patient", "Ottilie Brandmeer")
    page.save_to(tmp_path / "saved.pdf")
    settle()
    identity = desk.store.get(Identity, kept(desk, preparation.lot).patient_id)
    assert identity is not None
    assert identity.name == "Ottilie Brandmeer"
    assert "Ottilie Brandmeer" in plain(page_texts((tmp_path / "saved.pdf").read_bytes())[0])


def test_once_packed_the_names_are_fixed(packed: LabelsPage, show: Show) -> None:
    show(packed)
    assert not packed.order.address.inputs["patient"].isEnabled()
    assert packed.order.fixed.isVisible()


def test_a_second_print_asks_why(
    packed: LabelsPage, context: Context, desk: Desk, show: Show, settle: Settle, tmp_path: Path
) -> None:
    show(packed)
    packed.save_to(tmp_path / "first.pdf")
    settle()
    packed.save_to(tmp_path / "second.pdf")
    settle()
    assert [each.key for each in refused(context)] == ["bench.labels.reason_missing"]
    type_into_line(packed.order.reason, "The first ones smeared")
    packed.save_to(tmp_path / "second.pdf")
    settle()
    assert desk.store.register()[0].labels_printed == 6


def test_the_label_for_the_tray_is_no_reprint(
    packed: LabelsPage, show: Show, settle: Settle, tmp_path: Path
) -> None:
    show(packed)
    packed.save_to(tmp_path / "first.pdf")
    settle()
    assert packed.print_labels.text() == "Print 3 labels again"
    packed.order.awaiting.trigger()
    settle()
    assert packed.print_labels.text() == "Print 1 label"
    assert not packed.order.reason.isVisible()


def test_the_missing_reason_is_asked_for_before_a_file(
    packed: LabelsPage, context: Context, show: Show, settle: Settle, tmp_path: Path
) -> None:
    show(packed)
    packed.save_to(tmp_path / "first.pdf")
    settle()
    QTest.keyClick(packed, Qt.Key.Key_E, Qt.KeyboardModifier.ControlModifier)
    assert packed.findChildren(QFileDialog) == []
    (said,) = refused(context)
    assert plain(context.said(said)).startswith("These 3 containers have their labels already.")
    assert packed.order.reason.hasFocus()


def test_what_was_typed_is_there_after_stepping_away(
    page: LabelsPage, preparation: Preparation, show: Show, settle: Settle
) -> None:
    show(page)
    type_into(page, "patient", "Ottilie Brandmeer")
    QTest.keyClick(page, Qt.Key.Key_Escape)
    settle()
    assert page.chooser.isVisible()
    page.take(preparation.lot)
    page.shown()
    settle()
    assert page.order.said().patient == "Ottilie Brandmeer"


def test_a_file_that_cannot_be_written_leaves_nothing_on_record(  # noqa: PLR0913, PLR0917
    page: LabelsPage,
    context: Context,
    desk: Desk,
    preparation: Preparation,
    show: Show,
    settle: Settle,
    tmp_path: Path,
) -> None:
    show(page)
    page.save_to(tmp_path / "no such folder" / "saved.pdf")
    settle()
    assert [each.key for each in refused(context)] == ["ui_labels.cannot_write"]
    assert kept(desk, preparation.lot).stage is Stage.PLANNED
    assert desk.store.prints(preparation.id) == []


def test_printing_hands_the_labels_to_the_queue_at_their_size(
    context: Context, preparation: Preparation, show: Show, settle: Settle, recorded: Path
) -> None:
    page = LabelsPage(context)
    page.take(preparation.lot)
    show(page)
    assert QApplication.focusWidget() is page._print_button
    assert page.print_labels.text() == "Print 3 labels"
    page.order.choose_stock("100x50")
    settle()
    QTest.keyClick(page, Qt.Key.Key_P, CONTROL)
    settle()
    *options, file = (recorded / "arguments").read_text().splitlines()
    assert options == ["-d", "labels", "-o", "media=Custom.100x50mm"]
    assert Path(file).name == f"{preparation.lot}.pdf"
    assert len(page_texts((recorded / "printed.pdf").read_bytes())) == 3
    assert not Path(file).exists()


def test_a_queue_is_an_argument_whatever_it_holds(
    context: Context, preparation: Preparation, show: Show, settle: Settle, recorded: Path
) -> None:
    house = context.house
    odd = house.printers[0].__class__("Odd", "labels; touch hurt $(x)", stock="100x50")
    context._house = house.__class__(house.id, house.name, printers=(odd,))
    page = LabelsPage(context)
    page.take(preparation.lot)
    show(page)
    page.print_labels.trigger()
    settle()
    assert (recorded / "arguments").read_text().splitlines()[1] == "labels; touch hurt $(x)"


def test_a_printer_that_refuses_is_a_sentence_and_nothing_is_on_record(
    context: Context,
    desk: Desk,
    preparation: Preparation,
    show: Show,
    settle: Settle,
    recorded: Path,
) -> None:
    (recorded / "programs" / "lp").write_text("#!/bin/sh\necho unknown queue >&2\nexit 1\n")
    page = LabelsPage(context)
    page.take(preparation.lot)
    show(page)
    page.print_labels.trigger()
    settle()
    (said,) = refused(context)
    assert context.said(said).startswith(
        "Label printer, dispensary didn't take the labels: unknown queue."
    )
    assert desk.store.prints(preparation.id) == []


def test_a_trial_is_marked_and_leaves_nothing_on_record(
    context: Context,
    desk: Desk,
    show: Show,
    settle: Settle,
    tmp_path: Path,
    no_printing: None,  # noqa: ARG001
) -> None:
    page = LabelsPage(context)
    page.take(Trial(version_of(desk, "zinc paste").id, Order("2 x 60 g")))
    show(page)
    assert not page.print_labels.isVisible()
    page.save_to(tmp_path / "trial.pdf")
    settle()
    texts = page_texts((tmp_path / "trial.pdf").read_bytes())
    assert len(texts) == 2
    assert all("NOT FOR USE" in each and "TRIAL" in each for each in texts)
    assert desk.store.register() == []


def test_the_label_has_a_language_of_its_own(
    page: LabelsPage, show: Show, settle: Settle, tmp_path: Path
) -> None:
    show(page)
    page.order.choose_stock("100x70")
    page.order.language.setCurrentIndex(page.order.language.findData("de"))
    page.order.address.inputs["directions"].set_text("")
    page.order.address.inputs["directions"].setFocus()
    typed("Sparsam auftragen.")
    settle()
    page.save_to(tmp_path / "deutsch.pdf")
    settle()
    assert "Charge" in page_texts((tmp_path / "deutsch.pdf").read_bytes())[0]
    assert page.save_pdf.text() == "Save PDF"


def test_the_working_of_the_date_is_one_key_away(page: LabelsPage, show: Show) -> None:
    show(page)
    assert not page.order.working.isVisible()
    page.order.stock.setFocus()
    QTest.keyClick(page.order.stock, Qt.Key.Key_Equal)
    assert page.order.working.isVisible()
    assert "to 1 Aug 2026" in plain(page.order.working.text())
    facts = plain(" ".join(each.text() for each in page.order.findChildren(QLabel)))
    assert "Bound by" in facts


def test_a_lot_that_is_gone_is_said_and_leads_back_to_the_choice(
    context: Context,
    show: Show,
    no_printing: None,  # noqa: ARG001
) -> None:
    page = LabelsPage(context)
    page.take("GS26-99999")
    show(page)
    assert [each.key for each in refused(context)] == ["verbs.no_such_lot"]
    assert page.chooser.isVisible()


def test_everything_reached_by_tab_has_a_name(page: LabelsPage, show: Show) -> None:
    show(page)
    assert unnamed(page) == []
