"""Labels of containers of stock: what they say, and that both codes are read back."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from formulary.errors import Refusal
from formulary.house import House
from formulary.labels.drawing import pdf_bytes
from formulary.labels.layout import DoesNotFit
from formulary.labels.matrix import matrix, matrix_side_mm, modules_of
from formulary.labels.page import BarRun, GlyphRun, MatrixRun, Page, shifted
from formulary.labels.raster import rasterise
from formulary.labels.shelf import ShelfLabel, lay_out_shelf, shelf_label
from formulary.labels.stock import label_stock
from formulary.quantity.amount import Concentration
from formulary.signing import Meaning
from formulary.stock.container import IdentityCheck
from formulary.stock.lot import Halt, Source, Stop
from formulary.stock.numbers import container_number
from formulary.stock.shelf import Holding
from tests.formulary.stock.shelf import ACCEPTED, FAILED, QUARANTINED, container, grams, signed
from tests.helpers.code_reader import codes_in

HOUSE = House("h-1", "Linden Pharmacy")
JAR = container(42, place="Shelf 3")
LOT = replace(ACCEPTED, grade="Ph. Eur.", hazards=("irritant",))


def a_label(lot: object = LOT, house: House = HOUSE, **changes: object) -> ShelfLabel:
    held = Holding(JAR, lot, grams(100))  # type: ignore[arg-type]  # a lot
    made = shelf_label(held, "Zinc oxide", house)
    return replace(made, **changes)  # type: ignore[arg-type]  # fields by name


def words(page: Page) -> str:
    said = " ".join(item.text for item in page.items if isinstance(item, GlyphRun))
    return said.replace("\N{NO-BREAK SPACE}", " ")


@pytest.mark.parametrize("stock", ["62x29", "70x35", "100x50"])
@pytest.mark.parametrize("dots", [203, 300])
def test_both_codes_are_read_back_from_the_printer_s_dots(stock: str, dots: int) -> None:
    page = lay_out_shelf(a_label(), label_stock(stock), dots)
    found = codes_in(rasterise(pdf_bytes([page], title="B-00042-3"), 0, dots))
    assert sorted(found) == [("B-00042-3", "]C0"), ("B-00042-3", "]Q1")]


def test_it_says_what_it_is_how_long_it_lasts_and_how_it_stands() -> None:
    said = words(lay_out_shelf(a_label(), label_stock("70x35")))
    for text in (
        "Zinc oxide",
        "Use to 31 Mar 2027",
        "Lot ZN-4711",
        "B-00042-3",
        "500 g",
        "Ph. Eur. received 12 Jan 2026",
        "accepted",
        "irritant",
        "Shelf 3",
    ):
        assert text in said


def test_a_lot_in_quarantine_or_stopped_says_so() -> None:
    frozen = replace(LOT, stop=Stop(Halt.FROZEN, "smells", signed(Meaning.DECIDED)))
    stock = label_stock("70x35")
    assert "IN QUARANTINE" in words(lay_out_shelf(a_label(QUARANTINED), stock))
    assert "FROZEN" in words(lay_out_shelf(a_label(frozen), stock))


@pytest.mark.parametrize(
    ("identity", "said"), [(None, "NOT IDENTIFIED"), (FAILED, "WRONG IDENTITY")]
)
def test_of_an_accepted_lot_a_container_that_nobody_identified_says_so(
    identity: IdentityCheck | None, said: str
) -> None:
    held = Holding(replace(JAR, identity=identity), LOT, grams(100))
    found = words(lay_out_shelf(shelf_label(held, "Zinc oxide", HOUSE), label_stock("70x35")))
    assert said in found
    assert "accepted" not in found


def test_it_speaks_the_house_s_label_language_and_marks_a_sample() -> None:
    german = a_label(house=replace(HOUSE, label_language="de", sample=True))
    said = words(lay_out_shelf(german, label_stock("70x35")))
    assert "Charge ZN-4711" in said
    assert "angenommen" in said
    assert "MUSTER" in said.upper()


def test_a_concentrate_s_strength_and_the_day_of_opening_stand_on_it() -> None:
    strong = replace(LOT, source=Source.CONCENTRATE, strength=Concentration(Fraction(10), "% w/w"))
    label = a_label(strong, opened_on=date(2026, 5, 4))
    said = words(lay_out_shelf(label, label_stock("70x35")))
    assert "10 % w/w" in said
    assert "opened 4 May 2026" in said


def test_what_has_no_room_is_refused_with_the_stock_that_has_it() -> None:
    long = a_label(name="Chlorhexidine digluconate solution, twenty per cent, " * 4)
    with pytest.raises(DoesNotFit) as refused:
        lay_out_shelf(long, label_stock("62x29"))
    assert refused.value.fits is not None
    lay_out_shelf(long, refused.value.fits)


@pytest.mark.parametrize("stock", ["62x29", "70x35", "90x60"])
def test_nothing_overlaps_and_nothing_leaves_the_label(stock: str) -> None:
    page = lay_out_shelf(a_label(hazards=("toxic", "corrosive")), label_stock(stock))
    assert all(item.place.within(page.place) for item in page.items)
    places = [item.place for item in page.items if not isinstance(item, BarRun | MatrixRun)]
    codes = [item.place for item in page.items if isinstance(item, BarRun | MatrixRun)]
    assert not codes[0].overlaps(codes[1])
    assert not any(place.overlaps(code) for place in places for code in codes)


def test_a_printer_s_offset_moves_both_codes() -> None:
    page = lay_out_shelf(a_label(), label_stock("70x35"))
    moved = shifted(page, 0.5, -0.25)
    found = codes_in(rasterise(pdf_bytes([moved], title="moved"), 0, 203))
    assert len(found) == 2


@given(st.integers(1, 9_999_999_999))
def test_every_container_number_has_a_code(number: int) -> None:
    data = container_number(number)
    rows = modules_of(data)
    assert len(rows) in (21, 25, 29)
    assert all(len(row) == len(rows) for row in rows)
    code = matrix(data, 1, 1, 203)
    assert code.side_mm == pytest.approx(matrix_side_mm(data, 203))


@pytest.mark.parametrize("data", ["", "b-00042", "Ü", "0" * 51])
def test_what_the_code_can_t_hold_is_refused(data: str) -> None:
    with pytest.raises(Refusal):
        modules_of(data)
