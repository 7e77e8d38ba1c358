"""A label that is read from the right says its essentials in the house's language too."""

from __future__ import annotations

import unicodedata
from dataclasses import replace
from fractions import Fraction

import pytest

from formulary.labels.content import LabelContent, in_two_languages
from formulary.labels.drawing import pdf_bytes
from formulary.labels.layout import DoesNotFit, lay_out, lay_out_all
from formulary.labels.page import Direction, Field
from formulary.labels.stock import LabelStock, label_stock, label_stocks
from formulary.labels.wording import statements
from formulary.quantity.amount import Amount
from formulary.wording.directions import DayPart, Dosing, Often, Use
from tests.formulary.labels.samples import USUAL, glyph_runs
from tests.helpers.pdf_text import page_texts, squeezed

TWICE = Dosing(
    Use.TAKE,
    Amount(Fraction(5), "mL"),
    place="by_mouth",
    often=Often.AT,
    at=(DayPart.MORNING, DayPart.EVENING),
)
ARABIC = replace(
    USUAL,
    language="ar",
    directions="يوضع طبقة رقيقة مرتين يوميا.",
    quantity=Amount(Fraction(120), "mL"),
)


def bilingual(content: LabelContent = ARABIC, house: str = "en") -> LabelContent:
    return in_two_languages(content, house, {})


def plain(text: str) -> str:
    return text.replace("\N{NO-BREAK SPACE}", " ")


def test_the_last_day_lot_quantity_and_storage_stand_there_twice() -> None:
    said = plain(statements(bilingual())[Field.BESIDE])
    assert said == ("120 mL. Use by 16 Nov 2026. Lot K26-00042. Do not store above 25 °C.")


def test_built_directions_stand_there_twice_and_typed_ones_once() -> None:
    built = replace(bilingual(), directions="", dosing=TWICE)
    said = plain(statements(built)[Field.BESIDE])
    assert "5 mL" in said
    assert "in the morning" in said
    assert "morning" not in statements(bilingual())[Field.BESIDE]


@pytest.mark.parametrize("stock", ["100x70", "80x50", "70x35"])
def test_name_and_strength_in_latin_letters_are_read_from_the_right_too(stock: str) -> None:
    """Name before strength: on a label read from the right the name stands further right."""
    named = replace(bilingual(), name="Urea cream", strength="10 % w/w", patient="")
    page = lay_out(named, label_stock(stock))
    name, strength = (
        [run.place for run in glyph_runs(page) if run.field is field]
        for field in (Field.NAME, Field.STRENGTH)
    )
    edge = max(run.place.right for run in glyph_runs(page) if run.field is Field.QUANTITY)
    same_line = name[0].top < strength[0].bottom and strength[0].top < name[0].bottom
    if same_line:
        assert min(each.left for each in name) > max(each.right for each in strength)
    assert max(each.right for each in name) >= edge
    english = lay_out(replace(named, language="en", beside=""), label_stock(stock))
    left = min(run.place.left for run in glyph_runs(english) if run.field is Field.NAME)
    assert left < 5


def test_the_second_language_is_the_houses_own_or_english() -> None:
    assert bilingual(house="de").beside == "de"
    assert "Verwendbar bis" in statements(bilingual(house="de"))[Field.BESIDE]
    assert bilingual(house="ar").beside == "en"
    own = (("label.says.lot", "Batch {lot}"),)
    said = in_two_languages(ARABIC, "en", {"en": own})
    assert "Batch K26-00042" in statements(said)[Field.BESIDE]


def test_a_label_read_from_the_left_has_one_language() -> None:
    assert bilingual(USUAL) == USUAL
    assert Field.BESIDE not in statements(USUAL)


@pytest.mark.parametrize("stock", label_stocks()[4:], ids=lambda stock: stock.code)
def test_every_digit_is_a_western_one(stock: LabelStock) -> None:
    page = lay_out(bilingual(replace(ARABIC, directions="٢ مل مرتين يوميا.")), stock)
    digits = {each for run in glyph_runs(page) for each in run.text if each.isdigit()}
    assert digits
    assert all(each.isascii() for each in digits), {unicodedata.name(each) for each in digits}


def test_each_language_is_read_its_own_way() -> None:
    page = lay_out(bilingual(), label_stock("100x70"))
    ways = {run.field: run.direction for run in glyph_runs(page)}
    assert ways[Field.BESIDE] is Direction.LEFT_TO_RIGHT
    assert ways[Field.USE_BY] is Direction.RIGHT_TO_LEFT
    (text,) = page_texts(pdf_bytes([page], title="x"))
    assert "Useby16Nov2026" in squeezed(text)


def test_every_lot_of_a_run_stands_in_both_languages() -> None:
    stock = label_stock("100x70")
    contents = [replace(bilingual(), lot=f"K26-{number:05d}") for number in range(1, 4)]
    pages = list(lay_out_all(contents, stock))
    assert pages == [lay_out(one, stock) for one in contents]
    for page, content in zip(pages, contents, strict=True):
        said = "".join(run.text for run in glyph_runs(page) if run.field is Field.BESIDE)
        assert content.lot in said


@pytest.mark.parametrize("more", ["", "رجه", "رجه جيدا", "لا تضعه على جلد مجروح"])
@pytest.mark.parametrize("code", ["80x50", "100x70"])
def test_name_and_address_run_on_from_left_to_right(code: str, more: str) -> None:
    """UAX #9: neighbours of one direction keep their order, and a line begins at the right."""
    content = replace(bilingual(), extra=(more,) if more else ())
    runs = glyph_runs(lay_out(content, label_stock(code)))
    fields = (Field.HOUSE, Field.ADDRESS)
    own = sorted((r for r in runs if r.field in fields), key=lambda run: (run.y_mm, run.x_mm))
    said = statements(content)
    assert " ".join(run.text for run in own) == " ".join(said[field] for field in fields)
    for run in own:
        line = [other for other in runs if other.y_mm == run.y_mm]
        others = [other for other in line if other.field not in fields]
        before = [other for other in others if other.field is not Field.TELEPHONE]
        assert all(other.x_mm > run.x_mm for other in before)
        assert all(other.x_mm < run.x_mm for other in others if other not in before)


def test_an_address_that_breaks_goes_on_at_the_right_edge() -> None:
    """As every line of a paragraph that is read from the right (UAX #9, rule L2)."""
    content = replace(bilingual(), address=("12 Rowan Street by the Old Harbour Wall", "Northwick"))
    runs = glyph_runs(lay_out(content, label_stock("80x50")))
    edge = max(run.x_mm + run.width_mm for run in runs if run.field is Field.WARNINGS)
    address = [run for run in runs if run.field is Field.ADDRESS]
    lowest = max(run.y_mm for run in address)
    assert len({run.y_mm for run in address}) > 1
    last = max(run.x_mm + run.width_mm for run in address if run.y_mm == lowest)
    assert last == pytest.approx(edge, abs=0.1)


def test_a_name_in_latin_letters_stands_before_its_strength_as_the_label_is_read() -> None:
    content = replace(ARABIC, name="Urea cream", strength="10 % w/w")
    side_by_side = 0
    for stock in label_stocks():
        try:
            runs = glyph_runs(lay_out(bilingual(content), stock))
        except DoesNotFit:
            continue
        (name, *_) = [run for run in runs if run.field is Field.NAME]
        (strength, *_) = [run for run in runs if run.field is Field.STRENGTH]
        if name.y_mm == strength.y_mm:
            side_by_side += 1
            assert strength.place.right < name.place.left
    assert side_by_side
