"""A layout that is offered first has room for the labels that the program's own layout holds."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import pytest

from formulary.finding import Severity
from formulary.labels.content import LabelContent, with_people
from formulary.labels.design import Design, Thing
from formulary.labels.design_checks import design_findings, stops
from formulary.labels.design_fit import fitting
from formulary.labels.designed import has_room, lay_out_by
from formulary.labels.jar_code import JarCode
from formulary.labels.layout import room_for
from formulary.labels.page import GlyphRun, Page
from formulary.labels.stock import LabelStock, label_stock
from formulary.wording.label_profile import Profile, label_profile
from tests.formulary.labels.test_sample_house_labels import MADE_ON, formulas, house, said_of

OWN = LabelStock("jar85", 85, 45, 1)


@cache
def labels() -> tuple[LabelContent, ...]:
    """Return a label of every formula of the sample house, for a person with a long name."""
    names = ("Wilhelmina Example-Montgomery", "Dr Bartholomew Sample-Featherstone")
    return tuple(with_people(said_of(code), *names) for code in formulas())


def rules() -> tuple[Profile, JarCode]:
    return label_profile(house().label_profile), JarCode("GS26-99999", 99, MADE_ON, house().gtin)


def first(stock: LabelStock) -> Design:
    return fitting(stock, *rules(), labels())


@pytest.mark.parametrize(
    "stock", [label_stock("70x35"), label_stock("80x50"), label_stock("100x70"), OWN], ids=str
)
def test_the_first_layout_holds_what_the_programs_own_layout_holds(stock: LabelStock) -> None:
    design = first(stock)
    held = [each for each in labels() if isinstance(room_for(each, stock), Page)]
    assert held
    assert [each.name for each in held if not has_room(design, each)] == []
    assert stops(design_findings(design, *rules())) == ()


def test_the_small_print_flows_round_the_code_in_its_corner() -> None:
    design = first(label_stock("70x35"))
    rest, code = design.box(Thing.REST), design.box(Thing.SQUARE)
    assert rest.place.overlaps(code.place)
    label = next(each for each in labels() if has_room(design, each))
    texts = [each for each in lay_out_by(design, label).items if isinstance(each, GlyphRun)]
    assert not any(each.place.overlaps(code.place) for each in texts)
    # Anywhere else on the code it has no place.
    number = design.boxes.index(code)
    moved = replace(code, left=code.left - 3)
    boxes = (*design.boxes[:number], moved, *design.boxes[number + 1 :])
    found = design_findings(replace(design, boxes=boxes), *rules())
    assert [each.said.key for each in found if each.severity is Severity.STOP] == [
        "layouts.finding.quiet_zone"
    ]
