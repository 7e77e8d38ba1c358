from __future__ import annotations

from dataclasses import replace
from datetime import datetime, timedelta, timezone
from io import BytesIO
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from formulary.errors import Refusal
from formulary.formula.content import Storage
from formulary.labels.content import LabelContent
from formulary.labels.drawing import draw, pdf_bytes
from formulary.labels.layout import lay_out
from formulary.labels.page import Field, Origin, Page
from formulary.labels.raster import page_count, rasterise
from formulary.labels.stock import LabelStock, label_stock, label_stocks
from formulary.labels.wording import statements
from tests.formulary.labels.samples import (
    BRIEF,
    CONTENTS,
    SAMPLE,
    SHELF,
    TRIAL,
    USUAL,
    glyph_runs,
    scanned,
)
from tests.formulary.labels.test_layout import FITTING
from tests.helpers.code_reader import codes_in
from tests.helpers.pdf_text import page_sizes_mm, page_texts, properties, squeezed

GTIN = "6291041500213"
EVERY = pytest.mark.parametrize(
    ("name", "stock"), FITTING, ids=lambda value: getattr(value, "code", value)
)


def drawn(page: Page) -> bytes:
    return pdf_bytes([page], title="Salicylic acid ointment, lot K26-00042")


@EVERY
def test_all_that_is_said_can_be_read_back_from_the_pdf(name: str, stock: LabelStock) -> None:
    (text,) = page_texts(drawn(lay_out(CONTENTS[name], stock)))
    for said in statements(CONTENTS[name]).values():
        assert squeezed(said) in squeezed(text)


@EVERY
@pytest.mark.parametrize("dots_per_inch", [203, 300, 600])
def test_both_codes_are_scanned_back_from_the_printers_dots(
    name: str, stock: LabelStock, dots_per_inch: int
) -> None:
    content = CONTENTS[name]
    page = lay_out(content, stock, dots_per_inch)
    found = codes_in(rasterise(drawn(page), 0, dots_per_inch))
    assert sorted(found) == sorted(scanned(page, content))


@pytest.mark.parametrize("content", [SHELF, USUAL])
@pytest.mark.parametrize("stock", label_stocks()[1:], ids=lambda stock: stock.code)
@pytest.mark.parametrize("dots_per_inch", [203, 300, 600])
def test_with_an_item_number_the_square_is_a_gs1_code(
    content: LabelContent, stock: LabelStock, dots_per_inch: int
) -> None:
    content = replace(content, gtin=GTIN)
    page = lay_out(content, stock, dots_per_inch)
    found = codes_in(rasterise(drawn(page), 0, dots_per_inch))
    assert sorted(found) == sorted(scanned(page, content))


@settings(max_examples=25)
@given(st.from_regex(r"[A-Z]{0,4}[0-9]{2}-[0-9]{5,7}", fullmatch=True))
def test_every_lot_number_is_scanned_back(lot: str) -> None:
    content = replace(SHELF, lot=lot)
    page = lay_out(content, label_stock("62x29"))
    assert (lot, "]C0") in scanned(page, content)
    assert sorted(codes_in(rasterise(drawn(page), 0, 203))) == sorted(scanned(page, content))


def test_an_arabic_sentence_is_read_back_with_its_numbers_whole() -> None:
    said = "ضع طبقة رقيقة مرتين يوميا"
    content = replace(USUAL, directions=f"{said}, 2.5 mL.")
    page = lay_out(content, label_stock("100x70"))
    (text,) = page_texts(drawn(page))
    assert squeezed(said) in squeezed(text)
    # Readers of PDF guess an order of their own for the figures, so these are looked for as set.
    assert any("2.5\N{NO-BREAK SPACE}mL" in run.text for run in glyph_runs(page))


def test_a_less_or_equal_sign_is_printed() -> None:
    content = replace(SHELF, storage=Storage(note="Store at ≤ 25 °C."))
    (text,) = page_texts(drawn(lay_out(content, label_stock("70x35"))))
    assert "≤25°C" in squeezed(text)


def test_only_stamped_labels_say_not_for_use() -> None:
    stock = label_stock("100x70")
    said = {
        name: squeezed(page_texts(drawn(lay_out(content, stock)))[0]).lower()
        for name, content in {"sample": SAMPLE, "trial": TRIAL, "usual": USUAL}.items()
    }
    assert "notforuse" in said["sample"]
    assert "nichtanwenden" in said["trial"]
    assert "notforuse" not in said["usual"]


def test_the_band_is_black_across_the_label() -> None:
    stock = label_stock("100x50")
    raster = rasterise(drawn(lay_out(SAMPLE, stock)), 0, 203)
    row = int((stock.margin_mm + 0.3) * 203 / 25.4) * raster.stride
    across = raster.pixels[row + 24 : row + raster.width - 24]
    assert max(across) < 128


@pytest.mark.parametrize("stock", label_stocks(), ids=lambda stock: stock.code)
def test_a_page_has_exactly_the_size_of_its_stock(stock: LabelStock) -> None:
    assert page_sizes_mm(drawn(lay_out(SHELF, stock))) == [(stock.width_mm, stock.height_mm)]


def test_the_same_pages_give_the_same_bytes() -> None:
    page = lay_out(USUAL, label_stock("100x50"))
    assert drawn(page) == drawn(page)


def test_the_files_properties_name_the_house_and_the_time_and_never_a_false_one() -> None:
    page = lay_out(USUAL, label_stock("100x50"))
    at = datetime(2026, 3, 10, 14, 5, 9, tzinfo=timezone(timedelta(hours=-3, minutes=-30)))
    pdfs = [
        pdf_bytes([page], title="K26-00042", origin=Origin("Linden Pharmacy", at)) for _ in "ab"
    ]
    told = properties(pdfs[0])
    assert pdfs[0] == pdfs[1]
    assert told["Author"] == "Linden Pharmacy"
    assert told["CreationDate"] == told["ModDate"] == "D:20260310140509-03'30'"
    unsaid = properties(drawn(page))
    assert not unsaid["Author"]
    assert not unsaid["CreationDate"]


def test_the_files_properties_name_no_person() -> None:
    told = " ".join(properties(drawn(lay_out(USUAL, label_stock("100x50")))).values())
    assert "K26-00042" in told
    assert "Example" not in told
    assert "Sample" not in told


def test_pages_are_written_to_a_stream_or_a_file(tmp_path: Path) -> None:
    pages = [lay_out(SHELF, label_stock("70x35")), lay_out(BRIEF, label_stock("70x35"))]
    stream, path = BytesIO(), tmp_path / "labels.pdf"
    draw(pages, stream, title="Two labels")
    draw(pages, path, title="Two labels")
    assert path.read_bytes() == stream.getvalue()
    assert page_count(stream.getvalue()) == 2
    assert [entry.name for entry in tmp_path.iterdir() if entry.is_file()] == ["labels.pdf"]


def test_a_file_that_cannot_be_replaced_is_left_as_it_was(tmp_path: Path) -> None:
    path = tmp_path / "labels.pdf"
    path.mkdir()
    with pytest.raises(OSError, match=r"labels\.pdf"):
        draw([lay_out(SHELF, label_stock("70x35"))], path, title="A label")
    assert [entry.name for entry in tmp_path.iterdir() if entry.name.startswith(".")] == []


def test_grey_dots_are_one_byte_each() -> None:
    raster = rasterise(drawn(lay_out(SHELF, label_stock("70x35"))), 0, 203)
    assert abs(raster.width - 70 * 203 / 25.4) <= 1
    assert len(raster.pixels) == raster.stride * raster.height
    assert min(raster.pixels) == 0


@given(st.text(max_size=60))
def test_any_typed_text_is_refused_or_read_back_letter_by_letter(typed: str) -> None:
    content = replace(USUAL, extra=(typed,))
    try:
        said = statements(content)
        pdf = drawn(lay_out(content, label_stock("100x70")))
    except Refusal:
        return
    (text,) = page_texts(pdf)
    assert squeezed(said.get(Field.EXTRA, "")).replace("\N{SOFT HYPHEN}", "") in squeezed(text)
