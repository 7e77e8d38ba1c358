"""The page Stock, by keys."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from pytestqt.modeltest import ModelTester

from formulary.desk import Desk
from formulary.people import Person
from formulary.quantity.parsing import parse_amount
from formulary.stock.listing import Standing
from formulary.stock.lot import Status, SupplyLot
from formulary.stock.recall import Recall
from formulary.verbs.change_stock import waste_stock
from formulary.verbs.count_goods import goods_left, use_goods
from formulary.verbs.list_stock import list_stock
from formulary.verbs.look_up_stock import holdings_of
from formulary.workstation import Workstation
from tests.helpers.pdf_text import page_texts
from tests.helpers.stocked import PDF
from tests.ui.at_desk import plain, unnamed
from tests.ui.file_questions import choose_file
from tests.ui.stock.keyboard import keys, typed
from ui.context import Context
from ui.messages import Tone
from ui.stock.page import StockPage
from ui.stock.stock_model import Column

Settle = Callable[[], None]
Open = Callable[[str], None]


def texts(page: StockPage, column: Column) -> list[str]:
    model = page.listing.model
    return [plain(str(model.index(row, column).data())) for row in range(model.rowCount())]


def refused(context: Context) -> list[str]:
    return [each.message.key for each in context.say.history if each.tone is Tone.REFUSAL]


@pytest.fixture
def opened(page: StockPage, settle: Settle) -> Open:
    """Return what searches for words, by keys, and opens the first lot found."""

    def open_first(words: str) -> None:
        page.listing.search.setFocus()
        page.listing.search.selectAll()
        typed(words)
        keys(page, "Down")
        keys(page, "Return")
        settle()

    return open_first


def shown_lot(page: StockPage) -> SupplyLot:
    seen = page.details._seen
    assert seen is not None
    return seen.lot


def test_every_lot_is_listed_with_status_date_and_what_is_left(page: StockPage) -> None:
    row = texts(page, Column.INGREDIENT).index("Eucalyptus oil")
    assert texts(page, Column.STANDING)[row] == "expired"
    assert texts(page, Column.AWAY)[row] == "9 days ago"
    assert texts(page, Column.ON_HAND)[row].endswith("mL")
    assert len(texts(page, Column.LOT)) > 80


def test_the_model_keeps_to_qt_s_rules(page: StockPage, qtmodeltester: ModelTester) -> None:
    qtmodeltester.check(page.listing.model)  # type: ignore[no-untyped-call]


def test_what_needs_thought_shows_without_asking(page: StockPage) -> None:
    words = page.listing.alerts.words
    assert words[Standing.RECALLED].text() == "recalled 1"
    assert words[Standing.EXPIRING].text() == "runs out soon 3"
    assert not words[Standing.RECALLED].isHidden()
    low = plain(page.listing.low.text())
    assert low.startswith("Low: Eucalyptus oil: 0 mL of 20 mL;")
    assert "Jar 120 mL: 22 of 30" in low


def test_a_word_narrows_the_list_to_what_stands_so(page: StockPage) -> None:
    QTest.mouseClick(page.listing.alerts.words[Standing.QUARANTINE], Qt.MouseButton.LeftButton)
    assert set(texts(page, Column.STANDING)) == {"in quarantine"}
    QTest.mouseClick(page.listing.alerts.words[None], Qt.MouseButton.LeftButton)
    assert len(texts(page, Column.LOT)) > 80


def test_typing_searches_ingredient_lot_and_supplier(page: StockPage) -> None:
    typed("hydroc skerry")
    assert set(texts(page, Column.INGREDIENT)) == {"Hydrocortisone"}
    page.listing.search.clear()
    typed("xyzzy")
    assert page.listing.nothing.text() == "No lot fits that."
    assert page.listing.table.isHidden()


def test_a_scanned_container_opens_its_lot(page: StockPage, desk: Desk, settle: Settle) -> None:
    stock = list_stock(desk.store, desk.today)
    jar = next(e for e in stock.lots if e.ingredient == "Urea").holdings[0].container
    typed(jar.number)
    keys(page, "Return")
    settle()
    assert page.details.title.text().startswith("Urea, lot")
    held = page.details.containers.current()
    assert held is not None
    assert held.lot.ingredient_id == shown_lot(page).ingredient_id


def test_a_lot_shows_its_record_containers_and_moves(page: StockPage, opened: Open) -> None:
    opened("hydrocortisone")
    facts = [plain(each) for each in page.details.facts.texts()]
    assert "assay 97.2 % (dried); loss on drying 0.6 %" in facts
    assert any(each.startswith("accepted by Ilse Corrander") for each in facts)
    assert page.details.containers.topLevelItemCount() == 1
    assert page.details.moves.topLevelItemCount() == 2
    assert page.details.obstacle.isHidden()


def test_a_container_that_may_not_be_used_says_why(page: StockPage, opened: Open) -> None:
    opened("nonionic")
    assert "is open and could be used to" in page.details.obstacle.text()
    keys(page, "Down")
    assert page.details.obstacle.isHidden()


def test_counting_by_keys_changes_the_book(
    page: StockPage, desk: Desk, opened: Open, settle: Settle
) -> None:
    opened("hydrocortisone")
    keys(page, "Ctrl+E")
    typed("3.5 g")
    keys(page, "Tab")
    typed("weighed back")
    keys(page, "Return")
    settle()
    held = page.details.containers.current()
    assert held is not None
    (after,) = holdings_of(desk.store, (held.container,))
    assert str(after.on_hand.number) == "7/2"
    assert page.details.moves.topLevelItemCount() == 3
    assert not page.details.panel.isVisible()


def test_a_count_that_comes_too_late_says_who_was_quicker_and_is_asked_again(
    page: StockPage, desk: Desk, context: Context, opened: Open, settle: Settle
) -> None:
    opened("hydrocortisone")
    keys(page, "Ctrl+E")
    typed("3.5 g")
    keys(page, "Tab")
    typed("weighed back")
    held = page.details.containers.current()
    assert held is not None
    elsewhere = replace(desk, person=desk.store.every(Person)[1], workstation="bench 2")
    waste_stock(elsewhere, held.container.id, parse_amount("100 mg"), "spilt")
    keys(page, "Return")
    settle()
    late = context.say.history[-1].message
    assert late.key == "stock.changed_by"
    assert elsewhere.person.name in context.said(late)
    assert page.details.moves.topLevelItemCount() == 3
    assert page.details.panel.form is not None
    assert page.details.panel.form.values()["found"] == "3.5 g"
    keys(page, "Return")
    settle()
    (after,) = holdings_of(desk.store, (held.container,))
    assert str(after.on_hand.number) == "7/2"


def test_what_is_missing_is_asked_for_before_anything_is_done(
    page: StockPage, context: Context, opened: Open
) -> None:
    opened("hydrocortisone")
    keys(page, "Ctrl+Del")
    keys(page, "Return")
    form = page.details.panel.form
    assert form is not None
    assert not form.inputs["reason"].sound
    keys(page, "Escape")
    assert not page.details.panel.isVisible()
    assert refused(context) == []


def test_a_lot_leaves_quarantine_when_it_is_signed_for(
    page: StockPage,
    opened: Open,
    settle: Settle,
    signing: list[str],
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    certificate = tmp_path / "ki.pdf"
    certificate.write_bytes(PDF)
    choose_file(monkeypatch, certificate)
    QTest.mouseClick(page.listing.alerts.words[Standing.QUARANTINE], Qt.MouseButton.LeftButton)
    opened("potassium iodide")
    keys(page, "Ctrl+Shift+C")
    settle()
    keys(page, "Ctrl+I")
    typed("precipitate with silver nitrate")
    keys(page, "Return")
    settle()
    keys(page, "Ctrl+Shift+U")
    settle()
    assert shown_lot(page).status is Status.ACCEPTED
    assert shown_lot(page).attachment is not None
    assert [each.split(":")[0].split(" ")[0] for each in signing] == ["The", "Accept"]
    assert page.details.obstacle.isHidden()


def test_who_accepts_a_lot_is_told_what_isn_t_identified_yet(
    page: StockPage,
    opened: Open,
    settle: Settle,
    signing: list[str],
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    certificate = tmp_path / "ki.pdf"
    certificate.write_bytes(PDF)
    choose_file(monkeypatch, certificate)
    QTest.mouseClick(page.listing.alerts.words[Standing.QUARANTINE], Qt.MouseButton.LeftButton)
    opened("potassium iodide")
    keys(page, "Ctrl+Shift+C")
    settle()
    keys(page, "Ctrl+Shift+U")
    settle()
    (meaning,) = signing
    assert "1 container isn't identified yet; nothing is weighed from it before that" in meaning


def test_maker_and_grade_are_entered_after_the_receipt(
    page: StockPage, desk: Desk, opened: Open, settle: Settle
) -> None:
    QTest.mouseClick(page.listing.alerts.words[Standing.QUARANTINE], Qt.MouseButton.LeftButton)
    opened("potassium iodide")
    keys(page, "Ctrl+Shift+G")
    typed("Norrland Oxides")
    keys(page, "Tab")
    typed("Ph. Eur.")
    keys(page, "Ctrl+Return")
    settle()
    number = page.details.lot_number
    (lot,) = [each for each in desk.store.every(SupplyLot) if each.number == number]
    assert (lot.maker, lot.grade) == ("Norrland Oxides", "Ph. Eur.")


def test_without_its_certificate_a_lot_stays_and_says_so(
    page: StockPage, context: Context, opened: Open, settle: Settle, signing: list[str]
) -> None:
    QTest.mouseClick(page.listing.alerts.words[Standing.QUARANTINE], Qt.MouseButton.LeftButton)
    opened("potassium iodide")
    keys(page, "Ctrl+Shift+U")
    settle()
    assert signing == []
    assert refused(context) == ["stock.status.no_certificate"]
    assert shown_lot(page).status is Status.QUARANTINE


def test_a_lot_is_frozen_and_lifted_with_reasons(
    page: StockPage, opened: Open, settle: Settle, signing: list[str]
) -> None:
    opened("talc")
    keys(page, "Ctrl+Shift+F")
    typed("lumps")
    keys(page, "Return")
    settle()
    assert "is frozen: lumps" in page.details.obstacle.text()
    keys(page, "Ctrl+Shift+H")
    typed("sieved and tested")
    keys(page, "Return")
    settle()
    assert page.details.obstacle.isHidden()
    assert len(signing) == 2


@pytest.mark.usefixtures("signing")
def test_a_recall_is_begun_from_the_lot(
    page: StockPage, desk: Desk, opened: Open, settle: Settle
) -> None:
    opened("talc")
    keys(page, "Ctrl+Shift+W")
    typed("glass in a container")
    keys(page, "Return")
    settle()
    (recall,) = desk.store.every(Recall)
    assert recall.lot_ids == (shown_lot(page).id,)
    assert page.recalls.isVisible()


def test_a_delivery_is_received_by_keys(page: StockPage, desk: Desk, settle: Settle) -> None:
    keys(page, "Ctrl+N")
    settle()
    form = page.receive.form
    assert form is not None
    for name, text in (
        ("ingredient", "Zinc oxide"),
        ("number", "ZN-1"),
        ("containers", "2 x 500 g"),
        ("expiry", "2027-03"),
        ("supplier", "Skerry Fine Chemicals"),
    ):
        form.inputs[name].setFocus()
        typed(text)
    keys(page, "Ctrl+S")
    settle()
    assert page.details.title.text() == "Zinc oxide, lot ZN-1"
    assert page.details.containers.topLevelItemCount() == 2
    assert "in quarantine" in page.details.obstacle.text()
    (lot,) = desk.store.having(SupplyLot, number="ZN-1")
    assert lot.status is Status.QUARANTINE


def test_the_kind_and_strength_on_record_are_proposed(page: StockPage, settle: Settle) -> None:
    keys(page, "Ctrl+N")
    settle()
    typed("Chlorhexidine digluconate solution 20 %")
    form = page.receive.form
    assert form is not None
    assert form.values()["source"] == "concentrate"
    assert form.values()["strength"] == "20 % w/v"


def test_what_can_t_be_read_of_a_delivery_is_told_and_nothing_is_lost(
    page: StockPage, desk: Desk, context: Context, settle: Settle
) -> None:
    keys(page, "Ctrl+N")
    settle()
    form = page.receive.form
    assert form is not None
    for name, text in (
        ("ingredient", "Zinc oxide"),
        ("number", "ZN-1"),
        ("containers", "2 x 500 g"),
        ("strength", "20 % w/v"),
    ):
        form.inputs[name].setFocus()
        typed(text)
    keys(page, "Ctrl+S")
    settle()
    assert not form.inputs["strength"].sound
    keys(page, "Escape")
    keys(page, "Ctrl+N")
    settle()
    assert page.receive.form is not None
    assert page.receive.form.values()["number"] == "ZN-1"
    assert list(desk.store.having(SupplyLot, number="ZN-1")) == []
    assert refused(context) == []


def test_labels_of_containers_go_into_a_file(
    page: StockPage,
    opened: Open,
    settle: Settle,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    out = tmp_path / "label.pdf"
    monkeypatch.setattr("ui.stock.label_panel.printers_here", lambda _: ())
    choose_file(monkeypatch, out)
    opened("hydrocortisone")
    keys(page, "Ctrl+L")
    settle()
    keys(page, "Ctrl+Return")
    settle()
    assert out.read_bytes().startswith(b"%PDF-")
    assert not page.details.labels.isVisible()


def test_the_stock_list_is_saved_as_a_paper(
    page: StockPage, settle: Settle, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    out = tmp_path / "stock.pdf"
    choose_file(monkeypatch, out)
    keys(page.listing, "Ctrl+Shift+P")
    settle()
    assert "Stock list" in page_texts(out.read_bytes())[0]


def test_labels_of_containers_begin_with_the_printer_and_roll_of_this_workstation(
    page: StockPage,
    context: Context,
    opened: Open,
    settle: Settle,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    first, *_ = context.house.printers
    other = replace(first, name="Back room", queue="back")
    monkeypatch.setattr("ui.stock.label_panel.printers_here", lambda _: (first, other))
    here = Workstation(shelf_printer="Back room", shelf_stock="70x35")
    context.seat(context.desk.seated_at(here))
    opened("hydrocortisone")
    keys(page, "Ctrl+L")
    settle()
    labels = page.details.labels
    assert labels.printer.currentText() == "Back room"
    assert labels.stock.currentData() == "70x35"


def test_a_certificate_is_saved(
    page: StockPage,
    opened: Open,
    settle: Settle,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    out = tmp_path / "certificate.pdf"
    choose_file(monkeypatch, out)
    opened("hydrocortisone")
    keys(page, "Ctrl+S")
    settle()
    assert out.read_bytes().startswith(b"%PDF-")


def test_goods_are_counted_by_keys(page: StockPage, desk: Desk, settle: Settle) -> None:
    keys(page, "Ctrl+J")
    keys(page, "Ctrl+E")
    typed("90")
    keys(page, "Tab")
    typed("month's count")
    keys(page, "Return")
    settle()
    left = {each.good.name: each.left for each in list_stock(desk.store, desk.today).goods}
    assert left["Amber bottle 100 mL"] == 90
    keys(page, "Escape")
    assert page.listing.isVisible()


def test_a_count_of_goods_that_comes_too_late_is_asked_again(
    page: StockPage, desk: Desk, context: Context, settle: Settle
) -> None:
    keys(page, "Ctrl+J")
    keys(page, "Ctrl+E")
    typed("90")
    keys(page, "Tab")
    typed("month's count")
    elsewhere = replace(desk, person=desk.store.every(Person)[1], workstation="bench 2")
    bottle = next(
        each
        for each in list_stock(desk.store, desk.today).goods
        if each.good.name == "Amber bottle 100 mL"
    )
    use_goods(elsewhere, bottle.good.id, 1, "broken")
    keys(page, "Return")
    settle()
    late = context.say.history[-1].message
    assert elsewhere.person.name in context.said(late)
    assert goods_left(desk.store, bottle.good.id) == bottle.left - 1
    keys(page, "Return")
    settle()
    assert goods_left(desk.store, bottle.good.id) == 90


def test_new_goods_are_entered_by_keys(page: StockPage, desk: Desk, settle: Settle) -> None:
    keys(page, "Ctrl+J")
    keys(page, "Ctrl+N")
    typed("Spatula")
    keys(page, "Return")
    settle()
    names = [each.good.name for each in list_stock(desk.store, desk.today).goods]
    assert "Spatula" in names


def test_another_page_hands_over_a_container_or_a_lot(
    page: StockPage, desk: Desk, settle: Settle
) -> None:
    stock = list_stock(desk.store, desk.today)
    talc = next(each for each in stock.lots if each.ingredient == "Talc")
    for subject in (talc.holdings[0].container.number, talc.lot.id):
        page.take(subject)
        page.shown()
        settle()
        assert page.details.title.text().startswith("Talc")


def test_an_unknown_container_is_told(page: StockPage, context: Context, settle: Settle) -> None:
    page.take("B-99999-9")
    settle()
    assert len(refused(context)) == 1


def test_everything_that_takes_the_focus_has_a_name(
    page: StockPage, opened: Open, settle: Settle
) -> None:
    assert unnamed(page) == []
    opened("talc")
    keys(page, "Ctrl+E")
    assert unnamed(page) == []
    keys(page, "Escape")
    keys(page, "Escape")
    keys(page, "Ctrl+N")
    settle()
    assert unnamed(page) == []
    assert page.receive.isVisible()
