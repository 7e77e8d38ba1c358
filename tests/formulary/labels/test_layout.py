from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from formulary.labels.content import LabelContent, Stamp, awaiting_release, each_container
from formulary.labels.layout import DoesNotFit, lay_out, lay_out_all
from formulary.labels.page import Direction, Field, GlyphRun, Page, Place
from formulary.labels.plan import ESSENTIAL, LEAST_STAMP_PT
from formulary.labels.stock import LabelStock, label_stock, label_stocks
from formulary.labels.wording import statements
from tests.formulary.labels.samples import (
    BRIEF,
    CONTENTS,
    FULL,
    SAMPLE,
    SHELF,
    USUAL,
    code,
    collisions,
    glyph_runs,
    rules,
    scanned,
)
from tests.helpers.pdf_text import squeezed

SMALLEST = "50x20"
TOO_LONG = {
    ("full", "62x29"),
    ("trial", "62x29"),
    ("trial", "63.5x38.1-a4"),
}
FITTING = [
    (name, stock)
    for name in CONTENTS
    for stock in label_stocks()
    if (name, stock.code) not in TOO_LONG and (name == "shelf" or stock.code != SMALLEST)
]


def inside(stock: LabelStock) -> Place:
    margin = stock.margin_mm
    return Place(margin, margin, stock.width_mm - margin, stock.height_mm - margin)


def said_on(page: Page, field: Field) -> str:
    return squeezed("".join(run.text for run in glyph_runs(page) if run.field is field))


def require_sound(page: Page, content: LabelContent, stock: LabelStock) -> None:
    least, least_small = (7, 5.5) if stock.height_mm < 30 else (9, 6)
    assert collisions(page) == []
    for item in page.items:
        assert item.place.within(inside(stock))
    for run in glyph_runs(page):
        assert run.size_pt >= (least if run.field in ESSENTIAL else least_small)
        assert run.direction is Direction.LEFT_TO_RIGHT
    for field, text in statements(content).items():
        assert said_on(page, field) == squeezed(text)


@pytest.mark.parametrize(
    ("name", "stock"), FITTING, ids=lambda value: getattr(value, "code", value)
)
def test_all_is_said_inside_the_margins_legibly_and_nothing_overlaps(
    name: str, stock: LabelStock
) -> None:
    require_sound(lay_out(CONTENTS[name], stock), CONTENTS[name], stock)


WORDS = st.lists(
    st.text("abcdefghijklmnopqrstuvwxyzäöüßéŁ", min_size=1, max_size=14), min_size=1, max_size=30
).map(" ".join)
ANY_CONTENT = st.builds(
    lambda name, strength, directions, patient, extra, lot, stamp: replace(
        USUAL,
        name=name,
        strength=strength,
        directions=directions,
        patient=patient,
        extra=(extra,),
        lot=lot,
        stamp=stamp,
    ),
    WORDS,
    WORDS,
    WORDS,
    WORDS,
    WORDS,
    st.from_regex(r"[A-Z]{0,4}[0-9]{2}-[0-9]{5}", fullmatch=True),
    st.sampled_from(Stamp),
)


@given(ANY_CONTENT, st.sampled_from(label_stocks()))
def test_any_label_is_either_whole_or_refused_with_the_field_and_a_way_out(
    content: LabelContent, stock: LabelStock
) -> None:
    page = laid_out(content, stock)
    if isinstance(page, Page):
        require_sound(page, content, stock)
        return
    assert page.field in {*statements(content), Field.CODE}
    if page.fits is not None:
        require_sound(lay_out(content, page.fits), content, page.fits)


def laid_out(content: LabelContent, stock: LabelStock) -> Page | DoesNotFit:
    try:
        return lay_out(content, stock)
    except DoesNotFit as refusal:
        return refusal


def test_essentials_come_in_the_same_order_on_every_stock() -> None:
    for stock in label_stocks():
        if stock.area >= 5000:
            runs = {run.field: run for run in reversed(glyph_runs(lay_out(FULL, stock)))}
            order = [Field.NAME, Field.PATIENT, Field.DIRECTIONS, Field.USE_BY, Field.STORAGE]
            tops = [runs[field].y_mm for field in order]
            assert tops == sorted(tops)
            assert runs[Field.WARNINGS].y_mm > tops[-1]
            assert runs[Field.HOUSE].y_mm > runs[Field.WARNINGS].y_mm


def test_the_name_begins_at_the_top_left_corner() -> None:
    stock = label_stock("100x50")
    first = glyph_runs(lay_out(USUAL, stock))[0]
    assert first.field is Field.NAME
    assert first.x_mm == stock.margin_mm
    assert first.place.top - stock.margin_mm < 1


def test_right_hand_fields_end_at_the_right_margin() -> None:
    stock = label_stock("100x50")
    runs = {run.field: run for run in glyph_runs(lay_out(USUAL, stock))}
    for field in (Field.STRENGTH, Field.QUANTITY, Field.LOT):
        assert runs[field].place.right == pytest.approx(98)


def test_the_quantity_ends_the_line_of_the_name_if_there_is_no_patient() -> None:
    stock = label_stock("70x35")
    runs = {run.field: run for run in glyph_runs(lay_out(SAMPLE, stock))}
    assert runs[Field.QUANTITY].y_mm == runs[Field.NAME].y_mm
    assert runs[Field.QUANTITY].place.right == pytest.approx(70 - stock.margin_mm)


def test_a_full_label_has_neither_hairlines_nor_a_frame() -> None:
    assert rules(lay_out(USUAL, label_stock("70x35"))) == []
    (band,) = rules(lay_out(SAMPLE, label_stock("70x35")))
    assert band.width_mm == pytest.approx(68)


def test_the_small_print_of_a_full_label_runs_on_at_one_size() -> None:
    runs = glyph_runs(lay_out(USUAL, label_stock("70x35")))
    small = [run for run in runs if run.field not in ESSENTIAL and run.field is not Field.CONTAINER]
    lines = {run.y_mm for run in small}
    assert len({run.size_pt for run in small}) == 1
    assert small[0].size_pt >= 6
    assert len(lines) < len({run.field for run in small})


def test_a_line_with_accented_capitals_is_given_the_room_they_need() -> None:
    content = replace(USUAL, name="Ổ Ü É Crème", patient="Łucja Święćicka", directions="ÀÁÂ " * 20)
    for stock in label_stocks():
        if stock.area > 2000:
            require_sound(lay_out(content, stock), content, stock)


def test_there_is_a_hairline_of_one_dot_between_sections() -> None:
    page = lay_out(USUAL, label_stock("100x50"))
    assert len(rules(page)) == 3
    for rule in rules(page):
        assert rule.height_mm == pytest.approx(0.125)
        assert rule.y_mm / rule.height_mm == pytest.approx(round(rule.y_mm / rule.height_mm))


def test_type_is_larger_where_there_is_room() -> None:
    sizes = [
        max(run.size_pt for run in glyph_runs(lay_out(SHELF, label_stock(stock))))
        for stock in ("62x29", "70x35", "100x70")
    ]
    assert all(smaller < larger for smaller, larger in pairwise(sizes))


def test_what_does_not_fit_is_named_with_the_smallest_stock_that_holds_it() -> None:
    with pytest.raises(DoesNotFit) as refusal:
        lay_out(FULL, label_stock("62x29"))
    suggested = refusal.value.fits
    assert suggested is not None
    assert refusal.value.message.key == "label.other_ways"
    require_sound(lay_out(FULL, suggested), FULL, suggested)
    for smaller in label_stocks():
        if smaller.kind == "roll" and 62 * 29 < smaller.area < suggested.area:
            with pytest.raises(DoesNotFit):
                lay_out(FULL, smaller)


def test_directions_that_are_too_long_for_every_stock_are_named() -> None:
    endless = replace(BRIEF, directions="Apply thinly to the skin. " * 80)
    with pytest.raises(DoesNotFit) as refusal:
        lay_out(endless, label_stock("100x70"))
    assert refusal.value.field is Field.DIRECTIONS
    assert refusal.value.fits is None
    assert refusal.value.message.key == "label.fits_nowhere"


def test_a_word_wider_than_the_label_is_refused_and_not_cut() -> None:
    with pytest.raises(DoesNotFit) as refusal:
        lay_out(replace(BRIEF, patient="x" * 200), label_stock("100x50"))
    assert refusal.value.field is Field.PATIENT


def test_bars_that_are_too_wide_give_way_to_the_square_that_holds_the_lot_too() -> None:
    long = replace(SHELF, lot="ABCDEFGHIJKLMNOPQRSTU")
    page = lay_out(long, label_stock("62x29"))
    assert scanned(page, long) == [("ABCDEFGHIJKLMNOPQRSTU/1 2026-11-16", "]d1")]
    assert len(scanned(lay_out(long, label_stock("100x50")), long)) == 2


def test_a_lot_too_long_for_any_code_is_refused() -> None:
    with pytest.raises(DoesNotFit) as refusal:
        lay_out(replace(SHELF, lot="A" * 2000), label_stock("62x29"))
    assert refusal.value.field is Field.CODE


def test_a_band_across_the_label_says_not_for_use() -> None:
    stock = label_stock("100x50")
    page = lay_out(SAMPLE, stock)
    (stamp,) = [run for run in glyph_runs(page) if run.field is Field.STAMP]
    band = rules(page)[0]
    assert stamp.inverse
    assert stamp.place.within(band.place)
    assert band.width_mm == pytest.approx(stock.width_mm - 2 * stock.margin_mm)
    assert stamp.size_pt >= 9


def test_no_other_label_has_a_band() -> None:
    page = lay_out(USUAL, label_stock("100x50"))
    assert not [item for item in page.items if item.field is Field.STAMP]


def test_the_code_is_at_least_eight_millimetres_high_and_five_on_small_stocks() -> None:
    assert code(lay_out(USUAL, label_stock("100x50"))).height_mm == 8
    assert code(lay_out(SHELF, label_stock("62x29"))).height_mm == 5


def test_labels_of_one_batch_are_set_as_each_would_be_alone() -> None:
    stock = label_stock("100x50")
    contents = [
        replace(one, lot=f"K26-{one.container:05d}")
        for one in each_container(replace(USUAL, containers=12))
    ]
    assert list(lay_out_all(contents, stock)) == [lay_out(one, stock) for one in contents]


def test_different_labels_in_one_run_are_set_apart() -> None:
    stock = label_stock("100x50")
    contents = [USUAL, SAMPLE, USUAL, FULL]
    assert list(lay_out_all(contents, stock)) == [lay_out(one, stock) for one in contents]


def test_a_run_whose_text_breaks_inside_the_lot_is_still_right() -> None:
    stock = label_stock("100x50")
    spaced = replace(SHELF, lot="AB 1 " + "C " * 20 + "1")
    narrow = replace(stock, width_mm=190.0)
    contents = [spaced, replace(spaced, lot=spaced.lot.replace("1", "2"))]
    pages = list(lay_out_all(contents, narrow))
    assert pages == [lay_out(one, narrow) for one in contents]


def test_a_page_is_runs_with_font_size_and_direction() -> None:
    run = glyph_runs(lay_out(SHELF, label_stock("70x35")))[0]
    assert isinstance(run, GlyphRun)
    assert run.font == "DejaVuSansCondensed-Bold"


@pytest.mark.parametrize("stock", label_stocks(), ids=lambda stock: stock.code)
def test_a_tray_label_has_its_band_on_every_stock(stock: LabelStock) -> None:
    stamps = [Stamp.AWAITING]
    if stock.code != "50x20":  # the sample's longer band is no use on the smallest
        stamps.append(Stamp.SAMPLE_AWAITING)
    for stamp in stamps:
        page = lay_out(replace(awaiting_release(USUAL), stamp=stamp), stock)
        band = next(each for each in glyph_runs(page) if each.field is Field.STAMP)
        assert band.size_pt >= LEAST_STAMP_PT
