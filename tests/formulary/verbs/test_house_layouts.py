"""The house's layouts: drafts, what stops them, a pharmacist's name, and labels printed by them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import pytest

from formulary.desk import Desk
from formulary.errors import BadText, Forbidden, NotFound, Refusal
from formulary.finding import Severity
from formulary.labels.design import Design, Thing
from formulary.labels.design_edits import moved_by, on_stock, without
from formulary.labels.design_text import read_design, write_design
from formulary.labels.page import GlyphRun, Page
from formulary.labels.stock import LabelStock, label_stock
from formulary.people import Person, Post
from formulary.verbs.house_layouts import (
    begun,
    end_layout,
    findings_of,
    layout_called,
    layouts,
    put_layout_in_use,
    save_layout,
)
from formulary.verbs.issue_labels import issue_labels
from formulary.verbs.issue_shelf_labels import issue_shelf_labels
from formulary.verbs.start_preparation import Order, start_preparation
from formulary.verbs.stocks_of_house import stock_called, stocks_of
from tests.helpers.desks import PIN, in_use
from tests.helpers.stocked import ready

STOCK = "100x70"
OWN = LabelStock("72x48", 72, 48, 2)


def begin(desk: Desk, stock: LabelStock | None = None) -> Design:
    return begun(desk, stock or label_stock(STOCK))


def used(desk: Desk, design: Design) -> None:
    put_layout_in_use(desk, save_layout(desk, write_design(design)).id, PIN)


def tops(desk: Desk, lot: str, stock: str = STOCK) -> list[float]:
    """Return where the lines of a label stand."""
    taken: list[Page] = []

    def deliver(pages: Sequence[Page], _: LabelStock) -> None:
        taken.extend(pages)

    issue_labels(desk, lot, stock, deliver, reason="to look at")
    return [each.y_mm for each in taken[0].items if isinstance(each, GlyphRun)]


def test_a_draft_is_kept_any_time_and_overwritten(desk: Desk) -> None:
    design = begin(desk)
    first = save_layout(desk, write_design(replace(design, boxes=design.boxes[:1])))
    again = save_layout(desk, write_design(design))
    assert (first.id, first.number) == (again.id, again.number) == (again.id, 1)
    assert read_design(layout_called(desk.store, STOCK).text) == design
    assert desk.store.history()[-1].verb == "save_layout"


def test_a_layout_with_a_stop_is_not_put_in_use(desk: Desk) -> None:
    design = begin(desk)
    number = [each.thing for each in design.boxes].index(Thing.LOT)
    kept = save_layout(desk, write_design(without(design, number)))
    with pytest.raises(Refusal) as refusal:
        put_layout_in_use(desk, kept.id, PIN)
    assert refusal.value.message.key == "layouts.has_stops"
    assert not layout_called(desk.store, STOCK).in_use


def test_only_a_pharmacist_puts_a_layout_in_use_under_a_signature(desk: Desk) -> None:
    kept = save_layout(desk, write_design(begin(desk)))
    technician = Person("t", "Tom Reed", Post.TECHNICIAN)
    with pytest.raises(Forbidden):
        put_layout_in_use(replace(desk, person=technician), kept.id, PIN)
    with pytest.raises(Forbidden):
        put_layout_in_use(desk, kept.id, "0000")
    signed = put_layout_in_use(desk, kept.id, PIN)
    assert signed.signature is not None
    assert signed.signature.person == desk.person.name
    with pytest.raises(Refusal):
        put_layout_in_use(desk, kept.id, PIN)


def test_a_layout_in_use_stays_as_it_was_and_a_change_is_a_new_version(desk: Desk) -> None:
    design = begin(desk)
    used(desk, design)
    with pytest.raises(Forbidden), desk.writing("save_layout") as writing:
        writing.put(replace(layout_called(desk.store, STOCK), text="other"))
    changed = save_layout(desk, write_design(moved_by(design, 0, 0, 0)))
    assert changed.number == 2
    put_layout_in_use(desk, changed.id, PIN)
    assert [each.in_use for each in layouts(desk.store)] == [False, True]


def test_labels_are_printed_by_the_layout_in_use_and_by_the_program_again(desk: Desk) -> None:
    made = start_preparation(desk, in_use(desk).id, Order("3 x 60 g"))
    before = tops(desk, made.lot)
    design = begin(desk)
    used(desk, design)
    by_house = tops(desk, made.lot)
    boxes = {round(each.top, 2) for each in design.boxes}
    assert by_house != before
    assert [each.layout for each in desk.store.prints(made.id)] == [0, 1]
    assert len(boxes) > 1
    end_layout(desk, STOCK, PIN)
    assert tops(desk, made.lot) == before
    with pytest.raises(Refusal):
        end_layout(desk, STOCK, PIN)


def test_a_stock_of_the_houses_own_size_is_printed_on_once_its_layout_is_in_use(
    desk: Desk,
) -> None:
    made = start_preparation(desk, in_use(desk).id, Order("60 g"))
    design = begin(desk, OWN)
    save_layout(desk, write_design(design))
    with pytest.raises(NotFound):
        stock_called(desk.store, OWN.code)
    used(desk, design)
    assert OWN in stocks_of(desk.store)
    assert tops(desk, made.lot, OWN.code)


def test_a_stock_that_comes_along_keeps_its_measures_and_any_stock_has_a_name(desk: Desk) -> None:
    design = begin(desk)
    for code in (STOCK, " "):
        wrong = on_stock(design, replace(OWN, code=code))
        with pytest.raises(BadText):
            save_layout(desk, write_design(wrong))


def test_the_houses_own_labels_are_tried(desk: Desk) -> None:
    start_preparation(desk, in_use(desk).id, Order("60 g"))
    design = begin(desk)
    assert all(each.severity is Severity.NOTE for each in findings_of(desk, design))
    number = [each.thing for each in design.boxes].index(Thing.NAME)
    box = replace(design.boxes[number], width=8)
    narrow = replace(design, boxes=(*design.boxes[:number], box, *design.boxes[number + 1 :]))
    (found,) = [each for each in findings_of(desk, narrow) if each.severity is Severity.STOP]
    assert found.said.key == "layouts.fits_none"
    assert found.field == "name"


def test_labels_of_containers_of_stock_are_printed_on_a_stock_of_the_house(desk: Desk) -> None:
    kept = save_layout(desk, write_design(begin(desk, OWN)))
    _, (jar,) = ready(desk)
    sizes: list[tuple[float, float]] = []

    def deliver(pages: Sequence[Page], _: LabelStock) -> None:
        sizes.extend((each.width_mm, each.height_mm) for each in pages)

    with pytest.raises(NotFound):
        issue_shelf_labels(desk, [jar.id], OWN.code, deliver)
    put_layout_in_use(desk, kept.id, PIN)
    issue_shelf_labels(desk, [jar.id], OWN.code, deliver)
    assert sizes == [(72, 48)]
