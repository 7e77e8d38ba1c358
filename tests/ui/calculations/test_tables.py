from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtGui import QIcon
from pytestqt.modeltest import ModelTester

from formulary.calculating.tables import table
from tests.ui.calculations.keys import go_to
from ui.calculations.entries import table_names
from ui.calculations.page import CalculationsPage
from ui.calculations.table_model import DOUBT, SOURCE, rows_of


def open_table(page: CalculationsPage, name: str) -> None:
    go_to(page, "reference tables")
    page.tables.chooser.setCurrentIndex(page.tables.chooser.findData(name))


def column(page: CalculationsPage, name: str) -> list[str]:
    model = page.tables.model
    place = model.columns.index(name)
    return [str(model.index(row, place).data()) for row in range(model.rowCount())]


def test_tables_are_found_by_their_own_titles(page: CalculationsPage) -> None:
    go_to(page, "hard capsule body")
    assert page.tables.isVisible()
    assert page.tables.chooser.hasFocus()


def test_every_table_can_be_chosen_and_names_the_source_of_each_row(
    page: CalculationsPage,
) -> None:
    for name in table_names():
        open_table(page, name)
        sources = column(page, SOURCE)
        assert len(sources) == len(rows_of(name)) > 0
        assert all(sources), name


def test_a_doubtful_row_has_a_sign_and_the_reason(page: CalculationsPage) -> None:
    open_table(page, "capsule-volumes")
    model = page.tables.model
    doubts = column(page, DOUBT)
    row = next(place for place, text in enumerate(doubts) if text)
    assert doubts[row].startswith("Doubtful: ")
    index = model.index(row, model.columns.index(DOUBT))
    assert isinstance(index.data(Qt.ItemDataRole.DecorationRole), QIcon)


def test_a_row_from_memory_says_so(page: CalculationsPage) -> None:
    open_table(page, "sodium-chloride-equivalents")
    unseen = [not row["seen"] and "doubtful" not in row for row in table(page_name(page))]
    marked = [text == "From memory" for text in column(page, DOUBT)]
    assert marked == unseen
    assert any(marked)


def test_a_tariff_is_shown_rule_by_rule(page: CalculationsPage) -> None:
    open_table(page, "tariffs/germany-section-5")
    assert page.tables.about.text()
    work = [place for place, rule in enumerate(column(page, "rule")) if rule == "work"]
    capsules = next(place for place in work if "capsules" in column(page, "kinds")[place])
    assert column(page, "base")[capsules] == "12 pieces"
    assert column(page, "value")[capsules] == "8.00 EUR"
    assert column(page, DOUBT)[capsules].startswith("Doubtful: ")
    assert "Arzneimittelpreisverordnung" in column(page, SOURCE)[capsules]
    fixed = column(page, "rule").index("fixed")
    assert column(page, "value")[fixed] == "8.35"


def test_tariffs_are_found_by_the_search_too(page: CalculationsPage) -> None:
    go_to(page, "example tariff")
    assert page.tables.isVisible()


def test_a_table_without_doubts_has_no_empty_column_for_them(page: CalculationsPage) -> None:
    open_table(page, "capsule-volumes")
    place = page.tables.model.columns.index(DOUBT)
    assert not page.tables.table.isColumnHidden(place)
    open_table(page, "alcohol-15-56")
    place = page.tables.model.columns.index(DOUBT)
    assert page.tables.table.isColumnHidden(place)


def test_the_model_keeps_qts_rules(page: CalculationsPage, qtmodeltester: ModelTester) -> None:
    open_table(page, "hlb")
    qtmodeltester.check(page.tables.model)  # type: ignore[no-untyped-call]


def page_name(page: CalculationsPage) -> str:
    return str(page.tables.chooser.currentData())


def test_headings_are_words_with_their_units(page: CalculationsPage) -> None:
    open_table(page, "alcohol-15-56")
    model = page.tables.model
    headings = [
        str(model.headerData(place, Qt.Orientation.Horizontal))
        for place in range(len(model.columns))
    ]
    assert "% v/v at 15.56 °C" in headings
    for name in table_names():
        open_table(page, name)
        for place in range(len(model.columns)):
            heading = str(model.headerData(place, Qt.Orientation.Horizontal))
            assert heading[0].isupper() or heading[0] in "%p", heading
            assert not {"percent", "vv", "ww", "ml", "m3"} & set(heading.split()), heading
