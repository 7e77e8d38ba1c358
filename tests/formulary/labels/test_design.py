"""The house's own layouts: as text, as findings, as edits, and as the page that is printed."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from formulary.catalogue import Catalogue
from formulary.errors import BadText
from formulary.finding import Severity
from formulary.labels.data_matrix import QUIET_MODULES
from formulary.labels.design import Align, Box, Design, Thing
from formulary.labels.design_checks import PRINTERS, design_findings, stops
from formulary.labels.design_edits import (
    aligned,
    moved_by,
    moved_to,
    placed,
    reordered,
    sized_by,
    sized_to,
    typed,
    with_box,
    without,
)
from formulary.labels.design_start import suggested
from formulary.labels.design_text import read_design, write_design
from formulary.labels.designed import NoPlace, lay_out_by
from formulary.labels.jar_code import JarCode
from formulary.labels.overflow import Overflow
from formulary.labels.page import Field, GlyphRun, MatrixRun, Place, dot_mm
from formulary.labels.stock import LabelStock, Sheet, label_stock, label_stocks
from formulary.labels.wording import statements
from formulary.wording.label_profile import label_profile, label_profiles
from tests.formulary.labels.samples import BRIEF, FULL, USUAL, collisions

JAR = JarCode("GS26-99999", 99, date(2026, 12, 31))
OWN = LabelStock("57x32", 57, 32, 1.5)
STOCKS = (*label_stocks(), OWN, LabelStock("210x148", 210, 148, 3, 300))
NEUTRAL = label_profile("")
LARGE = suggested(label_stock("100x70"), NEUTRAL, JAR)


def at(design: Design, thing: Thing) -> int:
    """Return the number of a thing's box."""
    return [each.thing for each in design.boxes].index(thing)


def said(design: Design, profile: str = "") -> list[str]:
    """Return the names of the sentences that stop a layout."""
    found = stops(design_findings(design, label_profile(profile), JAR))
    return [each.said.key.rpartition(".")[2] for each in found]


@pytest.mark.parametrize("stock", STOCKS, ids=lambda stock: stock.code)
def test_the_first_layout_for_any_stock_and_rules_can_be_put_in_use(stock: LabelStock) -> None:
    for profile in label_profiles():
        design = suggested(stock, profile, JAR)
        assert stops(design_findings(design, profile, JAR)) == ()


@pytest.mark.parametrize("stock", STOCKS, ids=lambda stock: stock.code)
def test_a_layout_is_the_same_after_writing_and_reading(stock: LabelStock) -> None:
    design = suggested(stock, NEUTRAL, JAR)
    assert read_design(write_design(design)) == design


def test_a_layout_is_text_that_a_person_can_read() -> None:
    text = write_design(Design(OWN, (Box(Thing.NAME, 1.5, 5, 40, 4.5, 9.5, Align.CENTRE),)))
    assert text == (
        '[stock]\ncode = "57x32"\nkind = "roll"\nwidth_mm = 57\nheight_mm = 32\nmargin_mm = 1.5\n'
        'dots_per_inch = 203\n\n[[element]]\nsays = "name"\nleft_mm = 1.5\ntop_mm = 5\n'
        'width_mm = 40\nheight_mm = 4.5\nsize_pt = 9.5\nalign = "centre"\n'
    )


@pytest.mark.parametrize(
    "text",
    [
        "nothing",
        "",
        "[stock]\ncode = 'x'",
        write_design(LARGE).replace('says = "name"', 'says = "price"'),
        write_design(LARGE).replace("left_mm = ", 'left_mm = "wide" # '),
        write_design(LARGE).replace("width_mm = 100", "width_mm = 5"),
    ],
)
def test_a_text_that_is_no_layout_is_refused_with_a_sentence(text: str) -> None:
    with pytest.raises(BadText) as refusal:
        read_design(text, "mine.toml")
    assert "mine.toml" in Catalogue().text(refusal.value.message)
    with pytest.raises(BadText) as refusal:
        read_design("nothing")
    assert "The layout on screen can't be read" in Catalogue().text(refusal.value.message)


def test_each_thing_that_can_not_be_right_is_a_stop_at_its_element() -> None:
    name, rest, square = (at(LARGE, each) for each in (Thing.NAME, Thing.REST, Thing.SQUARE))
    assert said(moved_to(LARGE, name, 0, LARGE.boxes[name].top)) == ["outside"]
    assert "overlap" in said(moved_to(LARGE, rest, 30, 10))
    assert "quiet_zone" in said(moved_by(LARGE, square, -5, 0))
    assert said(typed(LARGE, name, 8)) == ["small_type"]
    assert said(sized_to(LARGE, name, 50, 1)) == ["low"]
    assert said(sized_by(LARGE, square, -3, 0)) == ["code_small"]
    assert said(sized_by(LARGE, at(LARGE, Thing.STAMP), -40, 0)) == ["not_across"]
    assert said(without(LARGE, square)) == ["always"]
    assert "twice" in said(with_box(LARGE, Thing.NAME))
    assert "essentials_first" in said(reordered(LARGE, rest, -20))
    assert "name_first" in said(reordered(LARGE, name, 3))


def test_type_below_what_the_jurisdiction_asks_for_names_its_source() -> None:
    """USP <17>: what the patient must not miss in 11 points or more."""
    us = label_profile("us")
    design = suggested(label_stock("100x70"), us, JAR)
    small = typed(design, at(design, Thing.DIRECTIONS), 10.5)
    (found,) = stops(design_findings(small, us, JAR))
    assert found.field == "directions"
    text = Catalogue().text(found.said)
    assert "not printed smaller than 11" in text
    assert "USP <17>" in Catalogue().text(found.source) if found.source else False


def test_what_the_rules_for_labels_ask_for_needs_a_place() -> None:
    us = label_profile("us")
    design = suggested(label_stock("100x70"), us, JAR)
    bare = without(design, at(design, Thing.REST))
    found = stops(design_findings(bare, us, JAR))
    assert {each.field for each in found} >= {"storage", "house", "telephone", "prescriber"}
    assert all(each.source is not None for each in found)


def test_small_print_above_an_essential_is_a_stop_beside_it_is_none() -> None:
    number = at(LARGE, Thing.DIRECTIONS)
    rest = at(LARGE, Thing.REST)
    over = moved_to(LARGE, number, 1.5, LARGE.boxes[rest].top + LARGE.boxes[rest].height - 5)
    assert "essentials_first" in said(over)
    boxes = (
        Box(Thing.NAME, 1.5, 8, 60, 5, 10),
        Box(Thing.DIRECTIONS, 1.5, 14, 60, 10, 10),
        Box(Thing.STORAGE, 64, 9, 30, 5, 9),
    )
    assert "essentials_first" not in said(Design(LARGE.stock, boxes))


def test_a_code_is_told_how_its_modules_print() -> None:
    found = design_findings(LARGE, NEUTRAL, JAR)
    notes = [Catalogue().text(e.said) for e in found if e.severity is Severity.NOTE]
    assert notes == [
        "The element square code prints in modules of 3 dots at 203 dots per inch, 0.38 mm each."
    ]


@pytest.mark.parametrize("dots", PRINTERS)
def test_a_larger_code_grows_by_whole_dots_and_keeps_its_quiet_zone(dots: int) -> None:
    for side in (0, 4, 9):
        number = at(LARGE, Thing.SQUARE)
        grown = moved_by(sized_by(LARGE, number, side, side), number, -side, -side)
        grown = replace(grown, boxes=tuple(e for e in grown.boxes if e.thing is not Thing.REST))
        content = replace(BRIEF, lot="GS26-00001", warnings=())
        kept = replace(grown, boxes=(*grown.boxes, Box(Thing.REST, 1, 40, 60, 28, 6)))
        page = lay_out_by(kept, content, dots)
        (square,) = [each for each in page.items if isinstance(each, MatrixRun)]
        per_module = square.module_mm / dot_mm(dots)
        assert per_module == pytest.approx(round(per_module))
        assert square.x_mm / dot_mm(dots) == pytest.approx(round(square.x_mm / dot_mm(dots)))
        assert square.quiet == QUIET_MODULES
        assert square.place.within(kept.box(Thing.SQUARE).place)


@pytest.mark.parametrize("align", Align)
def test_lines_stand_in_their_box_as_it_says(align: Align) -> None:
    number = at(LARGE, Thing.DIRECTIONS)
    page = lay_out_by(aligned(LARGE, number, align), USUAL)
    lines = [e.place for e in page.items if isinstance(e, GlyphRun) and e.field is Field.DIRECTIONS]
    box = LARGE.box(Thing.DIRECTIONS).place
    for line in lines:
        before, after = line.left - box.left, box.right - line.right
        assert line.within(box)
        assert {
            Align.START: before,
            Align.CENTRE: before - after,
            Align.END: after,
        }[align] == pytest.approx(0, abs=1e-6)


def test_what_has_no_room_is_refused_by_name_with_the_ways_out() -> None:
    design = suggested(label_stock("100x50"), NEUTRAL, JAR)
    with pytest.raises(NoPlace) as refusal:
        lay_out_by(design, replace(FULL, extra=("word " * 60,)))
    assert refusal.value.field is Field.EXTRA
    assert refusal.value.ways == (Overflow.LEAFLET,)


def test_what_has_no_place_is_refused_by_name() -> None:
    bare = without(LARGE, at(LARGE, Thing.PATIENT))
    with pytest.raises(NoPlace) as refusal:
        lay_out_by(bare, USUAL)
    assert refusal.value.field is Field.PATIENT


def test_a_usual_label_says_everything_in_its_boxes() -> None:
    page = lay_out_by(LARGE, USUAL)
    there = {each.field for each in page.items if isinstance(each, GlyphRun)}
    assert there - {Field.PICTOGRAM} == statements(USUAL).keys()
    assert collisions(page) == []


sides = st.floats(-200, 300, allow_nan=False).map(lambda mm: round(mm, 1))


@given(st.integers(0, len(LARGE.boxes) - 1), sides, sides, sides, sides)
def test_no_edit_takes_a_box_off_the_label(
    number: int, left: float, top: float, width: float, height: float
) -> None:
    typed_in = Place(left, top, left + width, top + height)
    for changed in (
        sized_to(moved_to(LARGE, number, left, top), number, width, height),
        placed(LARGE, number, typed_in),
    ):
        place = changed.boxes[number].place
        assert place.within(Place(0, 0, 100, 70))
        assert place.width > 0
        assert read_design(write_design(changed)) == changed


def test_the_order_of_reading_is_changed_and_kept() -> None:
    first = LARGE.boxes[0].thing
    later = reordered(LARGE, 0, 2)
    assert later.boxes[2].thing is first
    assert reordered(later, 2, -2) == LARGE


def test_a_sheet_of_the_house_is_kept_with_its_places() -> None:
    sheet = Sheet(210, 297, 2, 5, 8, 10, 98, 55)
    design = suggested(LabelStock("96x50-a4", 96, 50, 2, 600, "sheet", sheet), NEUTRAL, JAR)
    assert read_design(write_design(design)).stock.sheet == sheet


@pytest.mark.parametrize("thing", [Thing.STRENGTH, Thing.PATIENT, Thing.DIRECTIONS])
def test_an_essential_without_a_place_stops_a_layout_under_any_profile(thing: Thing) -> None:
    for profile in label_profiles():
        design = without(LARGE, at(LARGE, thing))
        found = stops(design_findings(design, profile, JAR))
        assert [each.field for each in found].count(thing.value) == 1
    assert "strength has no place" in Catalogue().text(
        NoPlace(Field.STRENGTH, OWN, key="layouts.no_place_for").message
    )
