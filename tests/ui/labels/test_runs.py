"""Sheets, several preparations in one run, second labels, and aligning a printer."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QWidget
from pytestqt.qtbot import QtBot

from formulary.desk import Desk
from formulary.labels.overflow import Overflow
from formulary.messages import message
from formulary.papers.every_paper import Paper
from formulary.preparation import Preparation
from tests.helpers.pdf_text import page_sizes_mm, page_texts, squeezed
from tests.ui.at_desk import nowhere, start
from tests.ui.labels.test_labels_page import type_into
from ui.context import Context
from ui.labels.delivery import issue
from ui.labels.page import LabelsPage
from ui.papers.paper import Destination

Show = Callable[[QWidget], None]
Settle = Callable[[], None]
CONTROL = Qt.KeyboardModifier.ControlModifier
SHEET = "99.1x38.1-a4"


@pytest.fixture
def preparation(desk: Desk) -> Preparation:
    return start(desk, "zinc paste", "3 x 60 g")


@pytest.fixture
def page(
    context: Context,
    preparation: Preparation,
    monkeypatch: pytest.MonkeyPatch,
    tmp_path: Path,
) -> LabelsPage:
    monkeypatch.setenv("PATH", str(tmp_path))
    made = LabelsPage(context)
    made.take(preparation.lot)
    return made


def test_a_second_label_or_a_leaflet_is_one_act_away_where_it_helps(
    page: LabelsPage, show: Show, settle: Settle
) -> None:
    show(page)
    page.order.choose_stock("62x29")
    type_into(page, "directions", "Apply thinly in the evening.")
    type_into(page, "patient", "Maximiliane Ellingwood-Bartholomew")
    type_into(page, "prescriber", "Dr Philippa Montgomery-Featherstone, Northwick")
    settle()
    assert not page.save_pdf.isEnabled()
    assert "a second label" in page.preview.refusal.text()
    page.preview.take_way[Overflow.SECOND_LABEL].trigger()
    settle()
    assert page.save_pdf.isEnabled()
    assert page.print_labels.text() == "Print 6 labels"


def test_with_a_leaflet_it_says_what_that_has_to_hold(
    page: LabelsPage, show: Show, settle: Settle
) -> None:
    show(page)
    page.order.choose_overflow(Overflow.LEAFLET.value)
    settle()
    assert "The leaflet has to say:" in page.preview.notes.text()


def test_a_sheet_asks_for_its_first_free_place(
    page: LabelsPage, show: Show, settle: Settle, tmp_path: Path
) -> None:
    show(page)
    assert not page.order.start.isVisible()
    page.order.choose_stock(SHEET)
    settle()
    assert page.order.start.isVisible()
    page.order.start.setFocus()
    page.order.start.selectAll()
    QTest.keyClicks(page.order.start, "13")
    settle()
    assert page.preview.caption.text().startswith("Sheet 1 of 2")
    page.save_to(tmp_path / "sheet.pdf")
    settle()
    assert page_sizes_mm((tmp_path / "sheet.pdf").read_bytes()) == [(210, 297)] * 2


@pytest.mark.parametrize("typed", ["15", "0", "first"])
def test_a_place_that_no_sheet_has_is_said(
    page: LabelsPage, show: Show, settle: Settle, typed: str
) -> None:
    show(page)
    page.order.choose_stock(SHEET)
    page.order.start.selectAll()
    QTest.keyClicks(page.order.start, typed)
    settle()
    assert "no place" in page.preview.refusal.text()
    assert not page.save_pdf.isEnabled()


def test_several_preparations_are_printed_in_one_run(  # noqa: PLR0913, PLR0917
    page: LabelsPage,
    context: Context,
    desk: Desk,
    preparation: Preparation,
    show: Show,
    settle: Settle,
    tmp_path: Path,
) -> None:
    other = start(desk, "zinc paste", "2 x 30 g")
    show(page)
    QTest.keyClick(page, Qt.Key.Key_R, CONTROL)
    settle()
    page.take(other.lot)
    page.shown()
    settle()
    assert preparation.lot in page.order.run.text()
    assert page.print_labels.text() == "Print 5 labels"
    page.save_to(tmp_path / "run.pdf")
    settle()
    texts = [squeezed(text) for text in page_texts((tmp_path / "run.pdf").read_bytes())]
    assert sum(preparation.lot in text for text in texts) == 3
    assert sum(other.lot in text for text in texts) == 2
    assert len(desk.store.prints(preparation.id)) == len(desk.store.prints(other.id)) == 1
    assert not page.order.run.isVisible()
    assert context is not None


def test_a_page_to_align_the_printer_by_is_saved_where_none_is_there(
    page: LabelsPage, show: Show, settle: Settle, tmp_path: Path, qtbot: QtBot
) -> None:
    show(page)
    page.order.choose_stock("70x35")
    page.save_calibration(tmp_path / "cross.pdf")
    settle()
    qtbot.waitUntil((tmp_path / "cross.pdf").exists)
    (text,) = page_texts((tmp_path / "cross.pdf").read_bytes())
    assert "35 mm from the left edge" in " ".join(text.split())


def test_what_the_rules_for_labels_ask_for_is_listed_before_printing(
    page: LabelsPage, context: Context, desk: Desk, show: Show, settle: Settle
) -> None:
    with desk.writing("save_house") as writing:
        writing.put(replace(desk.house, label_profile="us", telephone=""))
    show(page)
    page.order.choose_stock("100x70")
    settle()
    assert "pharmacy's telephone number (in Settings)" in page.preview.notes.text()
    assert context is not None


def test_labels_and_their_leaflets_are_saved_in_one_act(  # noqa: PLR0913, PLR0917
    page: LabelsPage,
    context: Context,
    desk: Desk,
    preparation: Preparation,
    show: Show,
    settle: Settle,
    tmp_path: Path,
) -> None:
    show(page)
    page.order.choose_stock("70x35")
    page.order.choose_overflow(Overflow.LEAFLET.value)
    settle()
    page.save_to(tmp_path / "jars.pdf")
    settle()
    leaflets = page_texts((tmp_path / "jars-leaflet.pdf").read_bytes())
    assert len(leaflets) == 3
    assert all(preparation.lot in squeezed(text) for text in leaflets)
    (record,) = desk.store.prints(preparation.id)
    assert (record.copies, record.containers, record.leaflets) == (3, 3, 3)
    said = context.said(context.say.history[-1].message)
    assert said.endswith("With 3 leaflets.")


def test_leaflets_are_printed_with_their_labels(
    page: LabelsPage, desk: Desk, preparation: Preparation, show: Show, settle: Settle
) -> None:
    papers: list[Paper] = []
    show(page)
    page.order.choose_overflow(Overflow.LEAFLET.value)
    settle()
    wanted = page._to_draw()
    assert wanted is not None
    assert wanted.with_leaflet
    there = Destination(papers.append, lambda _: message("ui_labels.leaflet"))
    issue(desk, wanted, nowhere, there)
    assert [len(each.pages) for each in papers] == [3]
    assert desk.store.prints(preparation.id)[0].leaflets == 3
