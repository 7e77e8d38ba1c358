"""More to say than there is room for: larger stock, a second label or a leaflet, as one chooses."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest

from formulary.catalogue import Catalogue
from formulary.formula.content import Route
from formulary.labels.layout import DoesNotFit, lay_out
from formulary.labels.overflow import Overflow, in_parts, leaflet_needed, parts_of
from formulary.labels.page import Field, Page
from formulary.labels.stock import LabelStock, label_stock, label_stocks
from formulary.labels.wording import statements
from formulary.quantity.amount import Amount
from tests.formulary.labels.samples import FULL, USUAL, glyph_runs
from tests.formulary.labels.test_layout import laid_out, require_sound

SMALL = label_stock("62x29")
BOTTLE = replace(
    FULL,
    name="Pilocarpine eye drops",
    quantity=Amount(Fraction(10), "mL"),
    strength="2 %",
    profile="de",
    route=Route.EAR,
    containers=1,
    container=1,
    patient="Anna Example",
)


def test_a_refusal_says_which_ways_there_are() -> None:
    with pytest.raises(DoesNotFit) as refusal:
        lay_out(FULL, SMALL)
    assert refusal.value.ways == (Overflow.SECOND_LABEL, Overflow.LEAFLET)
    said = Catalogue().text(refusal.value.message)
    assert "a second label, a leaflet with the label" in said


def test_a_way_that_doesnt_help_isnt_offered() -> None:
    endless = replace(FULL, directions="Apply thinly to the skin. " * 40)
    with pytest.raises(DoesNotFit) as refusal:
        lay_out(endless, SMALL)
    assert refusal.value.ways == ()


@pytest.mark.parametrize(
    ("way", "said"),
    [
        (Overflow.SECOND_LABEL, "A second label doesn't help on this stock. There is no room"),
        (Overflow.LEAFLET, "A leaflet doesn't help on this stock. There is no room"),
    ],
)
def test_that_a_chosen_way_doesnt_help_is_said(way: Overflow, said: str) -> None:
    endless = replace(FULL, directions="Apply thinly to the skin. " * 40)
    with pytest.raises(DoesNotFit) as refusal:
        lay_out(parts_of(endless, way)[0], SMALL)
    assert Catalogue().text(refusal.value.message).startswith(said)


def test_two_labels_say_all_that_one_would_and_which_they_are() -> None:
    first, second = parts_of(FULL, Overflow.SECOND_LABEL)
    said = [statements(part) for part in (first, second)]
    for field, text in statements(FULL).items():
        assert text in (said[0].get(field), said[1].get(field))
    assert said[0][Field.PART] == "Label 1\N{NO-BREAK SPACE}of 2"
    assert said[1][Field.PART] == "Label 2\N{NO-BREAK SPACE}of 2"
    for part in (first, second):
        require_sound(lay_out(part, SMALL), part, SMALL)
    # Each says what it belongs to.
    for field in (Field.NAME, Field.LOT, Field.CONTAINER):
        assert said[0][field] == said[1][field]


@pytest.mark.parametrize("stock", label_stocks(), ids=lambda stock: stock.code)
def test_the_second_label_of_the_only_container_has_room_or_is_refused(stock: LabelStock) -> None:
    """It says neither strength, quantity nor a number: only the name stands at its top."""
    name = "Sodium hydrogen carbonate, magnesium oxide and calcium carbonate capsules"
    (_, second) = parts_of(
        replace(FULL, name=name, containers=1, container=1), Overflow.SECOND_LABEL
    )
    found = laid_out(second, stock)
    if isinstance(found, Page):
        require_sound(found, second, stock)
    else:
        assert stock.code == "50x20"


def test_what_a_patient_must_not_miss_is_on_the_first_label() -> None:
    first, _ = parts_of(FULL, Overflow.SECOND_LABEL)
    said = statements(first)
    for field in (Field.NAME, Field.STRENGTH, Field.PATIENT, Field.DIRECTIONS, Field.USE_BY):
        assert said[field] == statements(FULL)[field]


def test_with_a_leaflet_the_loud_warnings_stay_on_the_label() -> None:
    (label,) = parts_of(FULL, Overflow.LEAFLET)
    assert "emollient_fire" in label.warnings
    assert "contains_wool_fat" not in label.warnings
    assert statements(label)[Field.PART] == "Read the leaflet."
    require_sound(lay_out(label, label_stock("70x35")), label, label_stock("70x35"))


def test_the_leaflet_is_told_what_the_label_leaves_out() -> None:
    needed = dict(leaflet_needed(FULL))
    assert {Field.AFTER_OPENING, Field.WARNINGS, Field.EXTRA} <= needed.keys()
    assert needed[Field.WARNINGS] == statements(FULL)[Field.WARNINGS]
    assert Field.NAME not in needed


def test_a_bottle_of_10_ml_gets_a_small_label_that_says_the_least_and_a_leaflet() -> None:
    stock = label_stock("50x20")
    with pytest.raises(DoesNotFit) as refusal:
        lay_out(BOTTLE, stock)
    assert Overflow.LEAFLET in refusal.value.ways
    (label,) = in_parts([BOTTLE], Overflow.LEAFLET)
    page = lay_out(label, stock)
    there = {run.field for run in glyph_runs(page)}
    least = {Field.NAME, Field.STRENGTH, Field.QUANTITY, Field.ROUTE, Field.USE_BY, Field.LOT}
    assert least <= there
    assert min(run.size_pt for run in glyph_runs(page)) >= 6
    assert Field.DIRECTIONS in dict(leaflet_needed(BOTTLE))


def test_a_larger_container_keeps_its_directions_on_the_label() -> None:
    (label,) = in_parts([replace(BOTTLE, quantity=Amount(Fraction(50), "mL"))], Overflow.LEAFLET)
    assert Field.DIRECTIONS in statements(label)


def test_nothing_is_parted_unless_somebody_chooses() -> None:
    assert in_parts([USUAL], Overflow.NONE) == (USUAL,)
