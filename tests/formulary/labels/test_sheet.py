"""Sheets of several labels, and the page that shows how far a printer is off."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from formulary.errors import BadText
from formulary.house import Printer
from formulary.labels.calibration import calibration_pages
from formulary.labels.content import each_container
from formulary.labels.drawing import pdf_bytes
from formulary.labels.for_printer import label_pages
from formulary.labels.layout import lay_out
from formulary.labels.page import GlyphRun, MatrixRun, Page, Rule
from formulary.labels.raster import rasterise
from formulary.labels.sheet import on_sheets
from formulary.labels.stock import LabelStock, label_stock, label_stocks, read_stock
from tests.formulary.labels.samples import USUAL, collisions, scanned
from tests.helpers.code_reader import codes_in
from tests.helpers.pdf_text import page_sizes_mm

STOCK = label_stock("63.5x38.1-a4")
SHEETS = [stock for stock in label_stocks() if stock.sheet]
FEW = tuple(each_container(replace(USUAL, containers=4)))


def squares(page: Page) -> list[MatrixRun]:
    return [each for each in page.items if isinstance(each, MatrixRun)]


@pytest.mark.parametrize("stock", SHEETS, ids=lambda stock: stock.code)
def test_a_full_sheet_holds_every_label_inside_its_own_place(stock: LabelStock) -> None:
    assert stock.sheet is not None
    many = each_container(replace(USUAL, containers=stock.sheet.labels + 1))
    first, second = label_pages(many, stock)
    assert collisions(first) == []
    assert all(item.place.within(first.place) for item in first.items)
    assert (len(squares(first)), len(squares(second))) == (stock.sheet.labels, 1)


def test_labels_begin_at_the_first_free_place() -> None:
    alone = lay_out(FEW[0], STOCK)
    first, second = label_pages(FEW, STOCK, start=19)
    assert len(squares(first)) == 3
    assert len(squares(second)) == 1
    name, placed = alone.items[0], first.items[0]
    assert isinstance(name, GlyphRun)
    assert isinstance(placed, GlyphRun)
    # Place 19 is the first of the last row: 15.15 mm and six rows down, on a whole dot.
    assert placed.x_mm - name.x_mm == pytest.approx(7.2, abs=0.03)
    assert placed.y_mm - name.y_mm == pytest.approx(15.15 + 6 * 38.1, abs=0.03)


@pytest.mark.parametrize("start", [0, 22, -1])
def test_a_place_that_no_sheet_has_is_refused(start: int) -> None:
    with pytest.raises(BadText) as refusal:
        label_pages(FEW, STOCK, start=start)
    assert refusal.value.field == "start"


def test_a_roll_has_no_places() -> None:
    assert len(label_pages(FEW, label_stock("100x50"), start=1)) == len(FEW)


@pytest.mark.parametrize("dots", [300, 600])
def test_every_code_of_a_sheet_is_scanned_back(dots: int) -> None:
    pages = label_pages(FEW, STOCK, Printer("Office", "office", dots))
    pdf = pdf_bytes(pages, title="Four labels")
    assert page_sizes_mm(pdf) == [(210, 297)]
    found = codes_in(rasterise(pdf, 0, dots))
    wanted = [code for each in FEW for code in scanned(lay_out(each, STOCK, dots), each)]
    assert sorted(found) == sorted(wanted)


GOOD = """
code = "ours"
kind = "sheet"
width_mm = 70
height_mm = 36
margin_mm = 2
[sheet]
width_mm = 210
height_mm = 297
columns = 3
rows = 8
left_mm = 0
top_mm = 4
across_mm = 70
down_mm = 36
"""


@pytest.mark.parametrize(
    "wrong",
    [
        GOOD.replace("columns = 3", "columns = 4"),
        GOOD.replace("down_mm = 36", "down_mm = 30"),
        GOOD.replace("top_mm = 4", "top_mm = -4"),
        GOOD.replace("rows = 8", "rows = 0"),
        GOOD.replace('kind = "sheet"', 'kind = "roll"'),
        GOOD.partition("[sheet]")[0],
    ],
)
def test_a_sheet_whose_labels_lie_on_one_another_or_off_it_is_refused(
    tmp_path: Path, wrong: str
) -> None:
    path = tmp_path / "ours.toml"
    path.write_text(GOOD, encoding="utf-8")
    assert read_stock(path).page_mm == (210, 297)
    path.write_text(wrong, encoding="utf-8")
    with pytest.raises(BadText):
        read_stock(path)


@pytest.mark.parametrize("stock", label_stocks(), ids=lambda stock: stock.code)
def test_the_calibration_cross_is_where_its_text_says(stock: LabelStock) -> None:
    (page,) = calibration_pages(stock, ("Above", "Below"))
    across, down = (rule for rule in page.items[:2] if isinstance(rule, Rule))
    corner = stock.sheet.corner(0) if stock.sheet else (0.0, 0.0)
    middle_x = (across.place.left + across.place.right) / 2
    middle_y = (down.place.top + down.place.bottom) / 2
    assert middle_x - corner[0] == pytest.approx(stock.width_mm / 2, abs=0.07)
    assert middle_y - corner[1] == pytest.approx(stock.height_mm / 2, abs=0.07)
    assert all(item.place.within(page.place) for item in page.items)


def test_a_sheet_is_calibrated_at_its_first_and_its_last_label() -> None:
    (page,) = calibration_pages(STOCK, ("Above", "Below"))
    arms = [each for each in page.items if isinstance(each, Rule) and each.width_mm > 10]
    assert [round(arm.place.left // 66.05) for arm in arms] == [0, 2]


def test_no_label_no_sheet() -> None:
    assert on_sheets([], STOCK) == []
