"""An ingredient's master data where it works: at the delivery, on the shelf, at the bench."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import Any

import pytest

from formulary.desk import Desk
from formulary.errors import BadText, Forbidden, NotFound, Refusal
from formulary.ingredient import Ingredient
from formulary.look_alikes import look_alikes_of
from formulary.monograph import Handling, HazardListing, Monograph
from formulary.people import Person, Post
from formulary.verbs.attach_sheet import attach_sheet, sheet_file
from formulary.verbs.keep_records import save_ingredient
from formulary.verbs.line_cautions import line_cautions
from formulary.verbs.receive_lot import receive_lot
from formulary.verbs.two_people import Signing
from tests.helpers.desks import BEN, PIN, at
from tests.helpers.formulas import a_line
from tests.helpers.stocked import PDF, a_lot, grams

HEAVY = Ingredient("i-heavy", "Magnesium oxide, heavy", look_alikes=("Magnesium oxide, light",))
LIGHT = Ingredient("i-light", "Magnesium oxide, light")
LISTED = Handling((HazardListing("NIOSH list", "2024", "table 2"),), "in the cabinet, with gloves")


def keep(desk: Desk, *ingredients: Ingredient) -> None:
    with desk.writing("save_ingredient") as writing:
        for each in ingredients:
            writing.put(each)


def test_a_pair_noted_at_one_counts_for_both() -> None:
    assert look_alikes_of(LIGHT, (HEAVY, LIGHT)) == (HEAVY,)
    assert look_alikes_of(HEAVY, (HEAVY, LIGHT)) == (LIGHT,)


def test_a_look_alike_is_on_file(desk: Desk) -> None:
    with pytest.raises(BadText) as refused:
        save_ingredient(desk, HEAVY)
    assert refused.value.field == "look_alikes"
    keep(desk, LIGHT)
    assert save_ingredient(desk, HEAVY).look_alikes == ("Magnesium oxide, light",)


def test_a_look_alike_follows_a_new_name(desk: Desk) -> None:
    keep(desk, LIGHT, HEAVY)
    light = desk.store.get(Ingredient, LIGHT.id)
    assert light is not None
    save_ingredient(desk, replace(light, name="Magnesium oxide, light powder"))
    heavy = desk.store.get(Ingredient, HEAVY.id)
    assert heavy is not None
    assert heavy.look_alikes == ("Magnesium oxide, light powder",)


def test_the_bench_is_told_what_a_line_is_taken_for_and_how_it_is_handled(desk: Desk) -> None:
    keep(desk, LIGHT, HEAVY, Ingredient("i-m", "Metronidazole", handling=LISTED))
    lines = [
        replace(a_line("Magnesium oxide, light", "1 g"), ingredient_id=LIGHT.id),
        replace(a_line("Metronidazole", "1 g"), ingredient_id="i-m"),
        a_line("Water", "1 g"),
    ]
    alike, hazardous, nothing = line_cautions(desk.store, lines)
    assert [each.key for each in alike] == ["ingredient.caution.look_alike"]
    assert [each.key for each in hazardous] == ["ingredient.caution.hazardous"]
    assert nothing == ()


def test_look_alikes_on_one_shelf_are_doubted_when_they_come(desk: Desk) -> None:
    keep(desk, LIGHT, HEAVY)
    receive_lot(desk, a_lot("L-1", "lot-1", ingredient_id=LIGHT.id), [grams(100)])
    came = receive_lot(desk, a_lot("H-1", "lot-2", ingredient_id=HEAVY.id), [grams(100)])
    assert "stock.receipt.beside_look_alike" in [each.said.key for each in came.doubts]
    apart = a_lot("H-2", "lot-3", ingredient_id=HEAVY.id, place="Shelf 9")
    assert receive_lot(desk, apart, [grams(100)]).doubts == ()


def test_hazards_and_allergens_go_on_to_each_lot(desk: Desk) -> None:
    keep(desk, Ingredient("i-oil", "Arachis oil", hazards=("slippery",), allergens=("peanut",)))
    lot = a_lot(ingredient_id="i-oil", allergens=("soya",))
    kept = receive_lot(desk, lot, [grams(100)]).lot
    assert (kept.hazards, kept.allergens) == (("slippery",), ("peanut", "soya"))


def test_a_supplier_off_the_list_needs_a_reason(desk: Desk) -> None:
    keep(desk, LIGHT)
    with desk.writing("save_house") as writing:
        writing.put(replace(desk.house, suppliers=("Norrland Supply",)))
    with pytest.raises(BadText) as refused:
        receive_lot(desk, a_lot(ingredient_id=LIGHT.id), [grams(100)])
    assert refused.value.field == "supplier_reason"
    because = a_lot(ingredient_id=LIGHT.id, supplier_reason="sold out elsewhere")
    assert receive_lot(desk, because, [grams(100)]).lot.supplier_reason == "sold out elsewhere"
    known = a_lot("L-2", "lot-2", ingredient_id=LIGHT.id, supplier="norrland supply")
    assert receive_lot(desk, known, [grams(100)]).lot.supplier == "norrland supply"


def test_a_controlled_substance_comes_in_under_two_signatures(desk: Desk) -> None:
    keep(desk, replace(LIGHT, controlled=True))
    with pytest.raises(Refusal):
        receive_lot(desk, a_lot(ingredient_id=LIGHT.id), [grams(100)])
    both = Signing(PIN, BEN.id, PIN)
    receive_lot(desk, a_lot(ingredient_id=LIGHT.id), [grams(100)], signing=both)


@pytest.mark.parametrize(
    ("changes", "field"),
    [
        ({"monograph": Monograph(cas="7732-18-6")}, "cas"),
        ({"monograph": Monograph(solubility="in water")}, "source_of_facts"),
        ({"handling": replace(LISTED, precautions=" ")}, "precautions"),
    ],
    ids=["check digit", "no source", "no precautions"],
)
def test_what_can_t_be_right_isn_t_kept(desk: Desk, changes: dict[str, Any], field: str) -> None:
    with pytest.raises(BadText) as refused:
        save_ingredient(desk, replace(LIGHT, **changes))
    assert refused.value.field == field
    assert desk.store.get(Ingredient, LIGHT.id) is None


def test_a_safety_sheet_is_kept_with_its_day_and_its_hash(desk: Desk) -> None:
    keep(desk, LIGHT)
    kept = attach_sheet(desk, LIGHT.id, "mgo.pdf", PDF, date(2025, 11, 3))
    sheet = kept.handling.sheet
    assert sheet is not None
    assert (sheet.file.name, sheet.revised_on) == ("mgo.pdf", date(2025, 11, 3))
    assert sheet_file(desk.store, kept) == PDF


def test_a_sheet_is_a_document_of_an_ingredient_on_file(desk: Desk) -> None:
    keep(desk, LIGHT)
    with pytest.raises(Refusal):
        attach_sheet(desk, LIGHT.id, "mgo.exe", b"MZ", date(2025, 11, 3))
    with pytest.raises(NotFound):
        attach_sheet(desk, "i-none", "mgo.pdf", PDF, date(2025, 11, 3))
    with pytest.raises(NotFound):
        sheet_file(desk.store, LIGHT)


def test_a_reader_attaches_nothing(desk: Desk) -> None:
    keep(desk, LIGHT)
    reader = Person("p-r", "Rita Lund", Post.READER)
    with pytest.raises(Forbidden):
        attach_sheet(at(desk, reader), LIGHT.id, "mgo.pdf", PDF, date(2025, 11, 3))
