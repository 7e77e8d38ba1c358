"""The sample house's preparations on the stocks that a dispensary uses most."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from fractions import Fraction
from functools import cache

import pytest

from formulary.exchange.sample_house import sample_house
from formulary.formula.content import Content, Form
from formulary.house import House
from formulary.labels.content import LabelContent, Occasion, Stamp, label_content, with_people
from formulary.labels.drawing import pdf_bytes
from formulary.labels.layout import DoesNotFit, lay_out
from formulary.labels.page import Field, Page
from formulary.labels.plan import ESSENTIAL
from formulary.labels.raster import rasterise
from formulary.labels.stock import LabelStock, label_stock
from formulary.labels.wording import statements
from formulary.quantity.amount import Amount
from formulary.use_by import last_day
from tests.formulary.labels.samples import glyph_runs, scanned
from tests.formulary.labels.test_layout import laid_out, require_sound
from tests.helpers.code_reader import codes_in
from tests.helpers.pdf_text import page_texts, squeezed

DISPENSARY, SHELF = label_stock("70x35"), label_stock("62x29")
LOT, MADE_ON = "GS26-00042", date(2026, 9, 28)
PATIENT = "Marta Ellingwood"
POURED = {
    Form.DROPS,
    Form.LINIMENT,
    Form.LOTION,
    Form.MOUTHWASH,
    Form.SOLUTION,
    Form.SPIRIT,
    Form.SUSPENSION,
    Form.SYRUP,
}


@cache
def house() -> House:
    return sample_house().house


@cache
def formulas() -> dict[str, Content]:
    """Return the latest version of each formula."""
    versions = sorted(sample_house().versions, key=lambda version: version.number)
    return {version.content.code: version.content for version in versions}


def said_of(code: str) -> LabelContent:
    """Return what the first of three jars of 60 g, or bottles of 100 mL, says."""
    formula = formulas()[code]
    assert formula.shelf_life is not None
    fill = Amount(Fraction(100), "mL") if formula.form in POURED else Amount(Fraction(60), "g")
    use_by = last_day(MADE_ON, formula.shelf_life.unopened).result
    return label_content(formula, house(), Occasion(LOT, MADE_ON, use_by, fill, containers=3))


def fitting(contents: Iterable[LabelContent], stock: LabelStock) -> list[Page]:
    found = (laid_out(content, stock) for content in contents)
    return [page for page in found if isinstance(page, Page)]


def on_dispensary_stock(content: LabelContent) -> tuple[Page, LabelStock]:
    """Return the label on the dispensary's stock, or on the one named where that is too small."""
    found = laid_out(content, DISPENSARY)
    if isinstance(found, Page):
        return found, DISPENSARY
    assert found.fits is not None
    return lay_out(content, found.fits), found.fits


def test_few_formulas_need_a_larger_stock_than_the_dispensarys() -> None:
    """Counted when this was written: two liquids that state a strength per mL and per container."""
    contents = [said_of(code) for code in formulas()]
    assert len(contents) - len(fitting(contents, DISPENSARY)) <= 2


EVERY_FORMULA = pytest.mark.parametrize("code", sorted(formulas()))


@EVERY_FORMULA
def test_every_formula_is_printed_stamped_on_the_dispensarys_stock_or_the_next(code: str) -> None:
    content = said_of(code)
    assert content.stamp is Stamp.SAMPLE
    page, stock = on_dispensary_stock(content)
    require_sound(page, content, stock)
    pdf = pdf_bytes([page], title=code)
    (text,) = page_texts(pdf)
    for said in statements(content).values():
        assert squeezed(said) in squeezed(text)
    assert sorted(codes_in(rasterise(pdf, 0, 203))) == sorted(scanned(page, content))


@EVERY_FORMULA
def test_what_a_patient_must_not_miss_is_nine_points_and_the_rest_six(code: str) -> None:
    for run in glyph_runs(on_dispensary_stock(said_of(code))[0]):
        assert run.size_pt >= (9 if run.field in ESSENTIAL else 6)


def test_most_formulas_are_printed_with_a_patients_name_too() -> None:
    contents = [with_people(said_of(code), PATIENT) for code in formulas()]
    pages = fitting(contents, DISPENSARY)
    assert len(pages) >= 0.8 * len(contents)
    for page in pages:
        assert any(run.field is Field.PATIENT for run in glyph_runs(page))


def test_what_has_no_room_beside_a_patients_name_is_told_a_stock_that_has() -> None:
    for code in formulas():
        content = with_people(said_of(code), PATIENT)
        found = laid_out(content, DISPENSARY)
        if isinstance(found, DoesNotFit):
            assert found.fits is not None
            require_sound(lay_out(content, found.fits), content, found.fits)


def test_most_formulas_are_printed_on_the_smallest_stock() -> None:
    """Counted when this was written: 27 of 31 without a patient, 19 with one."""
    contents = [said_of(code) for code in formulas()]
    assert len(fitting(contents, SHELF)) >= 27
    with_patient = [with_people(content, PATIENT) for content in contents]
    assert len(fitting(with_patient, SHELF)) >= 19


def test_the_dispensarys_printer_holds_that_stock() -> None:
    assert [printer.stock for printer in house().printers] == [DISPENSARY.code, SHELF.code]
