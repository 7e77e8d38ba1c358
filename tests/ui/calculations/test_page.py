from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QColor, QGuiApplication, QTextLayout, QTextOption
from PySide6.QtPrintSupport import QPrinter
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QAbstractItemView, QApplication, QLineEdit, QWidget

from formulary.calculating.registry import every_calculation
from formulary.command_line import main
from formulary.desk import Desk
from formulary.verbs.keep_calculation import keep_calculation
from tests.helpers.pdf_text import page_texts, squeezed
from tests.ui.at_desk import plain, unnamed
from tests.ui.calculations.keys import choice, enter, go_to, row
from ui import theme
from ui.calculations.entries import TABLES
from ui.calculations.input_row import LineRow
from ui.calculations.page import CalculationsPage
from ui.context import Context
from ui.messages import Tone

Show = Callable[[QWidget], None]
Settle = Callable[[], None]
CONTROL = Qt.KeyboardModifier.ControlModifier
NONE = Qt.KeyboardModifier.NoModifier
SHIFT = Qt.KeyboardModifier.ShiftModifier


def shown(page: CalculationsPage) -> list[str]:
    return [plain(each) for each in page.sheet.view.results.texts()]


@pytest.fixture
def dilution(page: CalculationsPage, settle: Settle) -> CalculationsPage:
    go_to(page, "dilution of a stock")
    enter(page, stock_strength="10 %", target_strength="2 %", target="100 mL")
    settle()
    return page


def test_a_calculation_is_found_by_beginnings_of_words(page: CalculationsPage) -> None:
    go_to(page, "alter parts")
    assert page.index.current() == "alligation"
    assert page.sheet.inputs.rows["sources"].isAncestorOf(focused(page))


def test_a_calculation_is_found_by_its_name_on_the_command_line(page: CalculationsPage) -> None:
    go_to(page, "least-weighable")
    assert page.index.current() == "least-weighable-quantity"


@pytest.mark.parametrize("words", ["dilutions", "eyedrop", "BSA", "dose by", "percent"])
def test_the_command_line_finds_the_same_in_the_same_order(
    words: str, page: CalculationsPage, capsys: pytest.CaptureFixture[str]
) -> None:
    page.index.look_for(words)
    assert main(["calculate", "--list", *words.split(), "--json"]) == 0
    listed = [each["name"] for each in json.loads(capsys.readouterr().out)]
    assert listed == [each for each in page.index._names if each != TABLES]
    assert listed


def test_what_is_not_found_is_said(page: CalculationsPage) -> None:
    QTest.keyClicks(page.index.search, "zeppelin")
    assert page.index.nothing.isVisible()
    assert not page.index.list.isVisible()


@pytest.mark.parametrize(
    ("words", "name"),
    [
        ("BSA", "body-surface-area"),
        ("Body-Surface", "body-surface-area"),
        ("bodysurface", "body-surface-area"),
        ("suppository", "suppositories"),
        ("SUPPOSITORIES", "suppositories"),
        ("finger tip", "fingertip-units"),
        ("IU", "international-units"),
        ("isotonicity", "isotonicity"),
    ],
)
def test_a_calculation_is_found_however_its_words_are_written(
    page: CalculationsPage, words: str, name: str
) -> None:
    QTest.keyClicks(page.index.search, words)
    assert page.index.current() == name


def test_a_title_comes_before_what_only_mentions_the_word(page: CalculationsPage) -> None:
    QTest.keyClicks(page.index.search, "drops")
    titles = page.index.titles()
    by_title = ["drop" in title.casefold() for title in titles]
    assert by_title == sorted(by_title, reverse=True)
    assert not all(by_title)


def test_a_search_without_a_hit_puts_the_calculation_away(
    dilution: CalculationsPage, context: Context
) -> None:
    QTest.keyClick(focused(dilution), Qt.Key.Key_Escape)
    QTest.keyClicks(dilution.index.search, "alligatoin")
    assert not dilution.sheet.isVisible()
    assert "alligatoin" in dilution.not_found.said.text()
    dilution.copy.trigger()
    assert context.say.history[-1].message.key == "ui_calculations.no_working"
    QTest.keyClick(dilution.index.search, Qt.Key.Key_Return)
    assert dilution.index.search.hasFocus()


def test_a_near_word_is_offered_and_found(page: CalculationsPage) -> None:
    QTest.keyClicks(page.index.search, "alligatoin")
    near = {each.text(): each for each in page.not_found.near}
    near["alligation"].trigger()
    assert page.index.current().startswith("alligation")
    assert page.sheet.isVisible()


def test_words_that_only_find_something_alone_are_offered_alone(page: CalculationsPage) -> None:
    QTest.keyClicks(page.index.search, "alligation pycnometer")
    assert [each.text() for each in page.not_found.near] == ["alligation", "pycnometer"]


def test_the_result_follows_what_is_typed(dilution: CalculationsPage, settle: Settle) -> None:
    assert shown(dilution)[0] == "20 mL"
    enter(dilution, target="50 mL")
    settle()
    assert shown(dilution)[0] == "10 mL"


def test_the_last_line_of_the_working_states_the_figure(dilution: CalculationsPage) -> None:
    last = plain(dilution.sheet.view.working.toPlainText()).splitlines()[-1]
    assert "20 mL" in last


def test_the_unit_chosen_counts_for_a_bare_number(
    dilution: CalculationsPage, settle: Settle
) -> None:
    enter(dilution, target="2")
    unit = row(dilution, "target").unit
    unit.setCurrentIndex(unit.findData("L"))
    unit.activated.emit(unit.currentIndex())
    settle()
    assert shown(dilution)[0] in ("0.4 L", "400 mL")


def test_a_unit_typed_in_the_line_wins(dilution: CalculationsPage, settle: Settle) -> None:
    enter(dilution, target="200 g")
    settle()
    assert row(dilution, "target").unit.currentData() == "g"
    assert shown(dilution)[0] == "40 g"


def test_wrong_input_is_marked_in_place_with_a_sentence(
    dilution: CalculationsPage, settle: Settle
) -> None:
    enter(dilution, target="12 parsecs")
    settle()
    target = row(dilution, "target")
    assert "parsecs" in target.edit.note.text()
    assert target.edit.line.property("role") == "stop"
    assert target.edit.line.accessibleDescription() == target.edit.note.text()
    assert shown(dilution) == []


def test_what_cannot_be_is_refused_with_sign_and_word(
    dilution: CalculationsPage, settle: Settle
) -> None:
    enter(dilution, target_strength="20 %")
    settle()
    refusal = dilution.sheet.view.refusal
    assert refusal.isVisible()
    assert refusal.text().startswith("Stop: ")
    assert shown(dilution) == []
    enter(dilution, target_strength="5 %")
    settle()
    assert not refusal.isVisible()
    assert shown(dilution)[0] == "50 mL"


def test_what_is_still_needed_is_named(page: CalculationsPage) -> None:
    go_to(page, "alligation alternate")
    assert "example" in page.sheet.view.waiting.text()
    enter(page, sources="10 %; 2 %")
    waiting = page.sheet.view.waiting.text()
    assert row(page, "target_strength").title in waiting
    assert row(page, "sources").title not in waiting


def test_what_cannot_be_is_marked_at_its_field(page: CalculationsPage, settle: Settle) -> None:
    page.take("body-surface-area")
    enter(page, height="17 m", weight="70 kg")
    settle()
    height = row(page, "height")
    assert "from 25 to 250 cm" in plain(height.edit.note.text())
    assert height.edit.line.property("role") == "stop"
    assert not page.sheet.view.refusal.isVisible()
    enter(page, height="170 cm")
    settle()
    assert height.edit.note.text() == ""
    assert shown(page)


def test_caution_source_and_limits_stand_beside_every_calculation(page: CalculationsPage) -> None:
    go_to(page, "dilution of ethanol")
    view = page.sheet.view
    assert view.caution.text().startswith("Think: ")
    assert "OIML" in view.source.text()
    assert "40 °C" in plain(view.limits.text())


def test_a_word_is_chosen_from_a_list(page: CalculationsPage, settle: Settle) -> None:
    go_to(page, "body-surface")
    enter(page, height="180 cm", weight="80 kg")
    settle()
    mosteller = shown(page)
    choice(page, "formula").box.setCurrentIndex(2)
    settle()
    assert shown(page) != mosteller


def test_a_choice_that_was_not_made_is_named_beside_the_dose(
    page: CalculationsPage, settle: Settle
) -> None:
    page.take("dose-by-body")
    enter(page, dose="40 mg/kg", body_weight="20 kg", doses_per_day="4")
    settle()
    findings = "\n".join(map(plain, page.sheet.view.findings.texts()))
    assert "Taken as meant for each dose" in findings
    meaning = choice(page, "dose_is").box
    assert plain(meaning.currentText()) == "Not chosen: each dose is taken"
    meaning.setFocus()
    for key, at in (
        (Qt.Key.Key_Down, meaning),
        (Qt.Key.Key_Down, meaning.view()),
        (Qt.Key.Key_Return, meaning.view()),
    ):
        QTest.keyClick(at, key)
    settle()
    assert meaning.currentText() == "each dose"
    findings = "\n".join(map(plain, page.sheet.view.findings.texts()))
    assert "Taken as meant" not in findings


def test_the_formula_of_the_body_surface_is_named_where_none_was_chosen(
    page: CalculationsPage, settle: Settle
) -> None:
    page.take("body-surface-area")
    enter(page, height="180 cm", weight="80 kg")
    settle()
    assert any("Mosteller was taken" in plain(each) for each in page.sheet.view.findings.texts())


def test_what_was_typed_is_there_again_and_can_be_emptied(
    dilution: CalculationsPage, settle: Settle
) -> None:
    go_to(dilution, "pycnometer")
    go_to(dilution, "dilution of a stock")
    settle()
    assert shown(dilution)[0] == "20 mL"
    QTest.keyClick(focused(dilution), Qt.Key.Key_Delete, CONTROL)
    assert row(dilution, "target").edit.text() == ""
    assert shown(dilution) == []


def test_the_example_stands_in_grey_and_can_be_tried(
    page: CalculationsPage, settle: Settle
) -> None:
    go_to(page, "alligation alternate")
    assert row(page, "sources").edit.line.placeholderText() == "0.5 %; 0.1 %"
    QTest.keyClick(focused(page), Qt.Key.Key_E, CONTROL | SHIFT)
    settle()
    assert shown(page)[:2] == ["25 g", "75 g"]
    assert shown(page)[2:] == ["1 part", "3 parts"]


def test_beside_a_result_no_field_shows_a_figure_that_was_not_used(
    page: CalculationsPage, settle: Settle
) -> None:
    page.take("isotonicity")
    adjuster = row(page, "adjuster_equivalent").edit.line
    assert adjuster.placeholderText() == "0.52"
    enter(page, volume="10 mL", masses="0.08 g", equivalents="0.16")
    settle()
    assert plain(adjuster.placeholderText()) == "1 is used"
    # What is used must never pass for what was typed, and is still read at arm's length.
    used, typed = adjuster.palette().placeholderText().color(), adjuster.palette().text().color()
    assert used == QColor(theme.colours().quiet) != typed
    QTest.keyClick(focused(page), Qt.Key.Key_Delete, CONTROL)
    assert adjuster.placeholderText() == "0.52"


def test_no_touched_form_shows_an_example(page: CalculationsPage) -> None:
    for calculation in every_calculation():
        page.take(calculation.name)
        rows = page.sheet.inputs.rows
        lines = [each for each in rows.values() if isinstance(each, LineRow)]
        if not lines:
            continue
        QTest.keyClicks(lines[0].edit.line, "7")
        for each in lines:
            default = each.described.default
            wanted = f"{default} is used" if default else "not given"
            assert plain(each.edit.line.placeholderText()) == wanted


def test_a_choice_is_enough_to_put_the_example_away(page: CalculationsPage) -> None:
    page.take("body-surface-area")
    choice(page, "formula").box.setCurrentIndex(1)
    assert row(page, "weight").edit.line.placeholderText() == "not given"


def test_tab_goes_from_figure_to_figure(page: CalculationsPage, settle: Settle) -> None:
    go_to(page, "dilution of a stock")
    QApplication.processEvents()
    for figure in ("10", "2", "100"):
        QTest.keyClicks(focused(page), figure)
        QTest.keyClick(focused(page), Qt.Key.Key_Tab)
    settle()
    assert shown(page)[0] == "20 mL"


@pytest.mark.parametrize(
    ("key", "modifier"),
    [(Qt.Key.Key_Down, Qt.KeyboardModifier.AltModifier), (Qt.Key.Key_F4, NONE)],
)
def test_the_units_are_opened_from_their_field(
    dilution: CalculationsPage, settle: Settle, key: Qt.Key, modifier: Qt.KeyboardModifier
) -> None:
    enter(dilution, target="2")
    target = row(dilution, "target")
    target.edit.line.setFocus()
    QTest.keyClick(target.edit.line, key, modifier)
    units = target.unit.view()
    assert units.isVisible()
    units.setCurrentIndex(units.model().index(target.unit.findData("L"), 0))
    QTest.keyClick(units, Qt.Key.Key_Return)
    settle()
    assert shown(dilution)[0] == "400 mL"
    assert focused(dilution) is target.edit.line


def test_a_substance_is_proposed_while_one_types(page: CalculationsPage, settle: Settle) -> None:
    page.take("hlb-of-a-blend")
    enter(page, amounts="9; 1")
    substances = row(page, "substances").edit.line
    substances.setFocus()
    QTest.keyClicks(substances, "TWEEN8")
    popup = suggested(substances)
    assert names_in(popup) == ["Tween 80"]
    take_up(popup)
    assert substances.hasFocus()
    QTest.keyClicks(substances, ";oleate")
    take_up(suggested(substances))
    assert substances.text() == "Tween 80; sorbitan oleate"
    settle()
    # 0.9 x 15 + 0.1 x 4.3, Griffin's weighted mean.
    assert shown(page)[0] == "13.93"


def test_a_region_of_the_skin_is_proposed_by_part_of_its_name(page: CalculationsPage) -> None:
    page.take("fingertip-units")
    regions = row(page, "regions").edit.line
    regions.setFocus()
    QTest.keyClicks(regions, "one foot; arm")
    assert "one arm" in names_in(suggested(regions))


def test_the_ones_used_last_are_offered_without_their_figures(
    dilution: CalculationsPage, context: Context, show: Show, settle: Settle
) -> None:
    go_to(dilution, "pycnometer")
    QTest.keyClick(focused(dilution), Qt.Key.Key_E, CONTROL | SHIFT)
    settle()
    later = CalculationsPage(context)
    show(later)
    recent = later.index.recent
    names = [recent.itemData(place) for place in range(1, recent.count())]
    assert names == ["pycnometer", "dilution"]
    recent.setCurrentIndex(2)
    recent.activated.emit(2)
    assert later.index.current() == "dilution"
    assert row(later, "target").edit.text() == ""


def test_no_more_than_ten_are_remembered(page: CalculationsPage, settle: Settle) -> None:
    for name in page.index._names[:12]:
        page.take(name)
        page.sheet.example.trigger()
        settle()
    assert page.index.recent.count() == 11


def test_the_working_is_copied_with_figures_and_source(dilution: CalculationsPage) -> None:
    QTest.keyClick(dilution.sheet.view.working, Qt.Key.Key_C, CONTROL)
    copied = plain(QGuiApplication.clipboard().text())
    assert copied.startswith("Dilution of a stock")
    for part in ("10 %", "20 mL", "Source: ", "Think: "):
        assert part in copied


def test_no_line_parts_a_figure_from_its_unit(page: CalculationsPage, settle: Settle) -> None:
    page.take("strength-conversion")
    enter(page, strength="95 % w/w", density="1.00001 g/mL")
    settle()
    text = page.sheet.view.working.document().toRawText()
    for width in range(40, 400, 20):
        layout = QTextLayout(text.replace("\N{PARAGRAPH SEPARATOR}", " "))
        for line in broken(layout, width)[:-1]:
            assert not line.endswith("/")
            assert not line[-1:].isdigit(), line
            assert not line.startswith(("mL", "w/", "%"))


def broken(layout: QTextLayout, width: int) -> list[str]:
    """Return the lines of a text, broken at words as the window breaks them."""
    option = QTextOption()
    option.setWrapMode(QTextOption.WrapMode.WordWrap)
    layout.setTextOption(option)
    layout.beginLayout()
    lines = []
    while (line := layout.createLine()).isValid():
        line.setLineWidth(width)
        start = line.textStart()
        lines.append(layout.text()[start : start + line.textLength()].rstrip(" "))
    layout.endLayout()
    return lines


def test_what_is_copied_has_no_hidden_marks(page: CalculationsPage, settle: Settle) -> None:
    page.take("strength-conversion")
    enter(page, strength="1 % w/w")
    settle()
    working = page.sheet.view.working
    working.selectAll()
    QTest.keyClick(working, Qt.Key.Key_C, CONTROL)
    copied = plain(QGuiApplication.clipboard().text())
    assert "10 mg/g" in copied


def test_a_selected_part_of_the_working_is_copied_alone(dilution: CalculationsPage) -> None:
    working = dilution.sheet.view.working
    cursor = working.textCursor()
    cursor.select(cursor.SelectionType.WordUnderCursor)
    working.setTextCursor(cursor)
    QTest.keyClick(working, Qt.Key.Key_C, CONTROL)
    assert QGuiApplication.clipboard().text() == cursor.selectedText()


def test_the_working_is_saved_as_a_record(
    dilution: CalculationsPage, desk: Desk, tmp_path: Path, settle: Settle
) -> None:
    place = tmp_path / "dilution.pdf"
    dilution.save_to(place)
    settle()
    (printed,) = map(squeezed, page_texts(place.read_bytes()))
    for part in ("Dilution of a stock", "20 mL", "Source: ", "Think: "):
        assert squeezed(part) in printed
    # What makes it a record: the house, who and when, what it belongs to, and room to sign.
    for part in (desk.house.name, desk.person.name, "3 Feb 2026", "Not kept with a formula or lot"):
        assert squeezed(part) in printed
    assert squeezed("Checked by: name and signature") in printed
    assert squeezed("NOT FOR USE – SAMPLE") in printed


def test_a_kept_sum_that_is_opened_again_still_says_with_what(
    dilution: CalculationsPage, desk: Desk, tmp_path: Path, settle: Settle
) -> None:
    code = desk.store.find_formulas("")[0].code
    typed = dilution.sheet.inputs.typed()
    kept = keep_calculation(desk, dilution.index.current(), typed, code)
    dilution.take(kept)
    settle()
    dilution.save_to(tmp_path / "again.pdf")
    settle()
    (printed,) = map(squeezed, page_texts((tmp_path / "again.pdf").read_bytes()))
    assert squeezed(f"Kept with {code}") in printed


def test_the_record_says_with_what_the_sum_was_kept(
    dilution: CalculationsPage, desk: Desk, tmp_path: Path, settle: Settle
) -> None:
    code = desk.store.find_formulas("")[0].code
    QTest.keyClick(dilution.sheet.inputs, Qt.Key.Key_K, CONTROL | SHIFT)
    QTest.keyClicks(dilution.sheet.keeping.subject, code)
    QTest.keyClick(dilution.sheet.keeping.subject, Qt.Key.Key_Return)
    settle()
    dilution.save_to(tmp_path / "kept.pdf")
    settle()
    (printed,) = map(squeezed, page_texts((tmp_path / "kept.pdf").read_bytes()))
    assert squeezed(f"Kept with {code}") in printed
    enter(dilution, target="50 mL")
    settle()
    dilution.save_to(tmp_path / "other.pdf")
    settle()
    (printed,) = map(squeezed, page_texts((tmp_path / "other.pdf").read_bytes()))
    assert squeezed("Not kept with") in printed


def test_a_printer_gets_every_page(
    dilution: CalculationsPage, tmp_path: Path, settle: Settle
) -> None:
    place = tmp_path / "printed.pdf"
    printer = QPrinter()
    printer.setOutputFormat(QPrinter.OutputFormat.PdfFormat)
    printer.setOutputFileName(str(place))
    dilution.print_to(printer)
    settle()
    assert len(page_texts(place.read_bytes())) == 1


def test_a_place_that_cannot_be_written_is_refused(
    dilution: CalculationsPage, context: Context, tmp_path: Path, settle: Settle
) -> None:
    dilution.save_to(tmp_path / "missing" / "dilution.pdf")
    settle()
    assert context.say.history[-1].tone is Tone.REFUSAL


def test_without_a_working_nothing_is_copied(page: CalculationsPage, context: Context) -> None:
    QGuiApplication.clipboard().setText("before")
    page.copy.trigger()
    assert QGuiApplication.clipboard().text() == "before"
    assert context.say.history[-1].message.key == "ui_calculations.no_working"


def test_escape_goes_back_to_the_search(dilution: CalculationsPage) -> None:
    QTest.keyClick(focused(dilution), Qt.Key.Key_Escape)
    assert dilution.index.search.hasFocus()


def test_everything_reached_by_tab_has_a_name(dilution: CalculationsPage) -> None:
    assert unnamed(dilution) == []


def focused(page: CalculationsPage) -> QWidget:
    found = page.window().focusWidget()
    assert found is not None
    return found


def suggested(line: QLineEdit) -> QAbstractItemView:
    completer = line.completer()
    assert completer is not None
    popup = completer.popup()
    assert popup is not None
    return popup


def names_in(popup: QAbstractItemView) -> list[str]:
    assert popup.isVisible()
    model = popup.model()
    return [str(model.index(place, 0).data()) for place in range(model.rowCount())]


def take_up(popup: QAbstractItemView) -> None:
    QTest.keyClick(popup, Qt.Key.Key_Down)
    QTest.keyClick(popup, Qt.Key.Key_Return)
