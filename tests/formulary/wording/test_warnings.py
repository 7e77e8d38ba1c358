"""Warnings by route, form and ingredient, few and with their reasons."""

from __future__ import annotations

from dataclasses import replace

import pytest

from formulary.calculating.tables import table
from formulary.catalogue import Catalogue, keys_under
from formulary.formula.content import Content, Form, LabelText, Line, Route
from formulary.formula.kinds import Fixed
from formulary.ingredient import Ingredient
from formulary.quantity.parsing import parse_amount
from formulary.wording.warnings import FEW, TABLE, warnings_for
from tests.helpers.kept import a_content


def holding(*names: str, form: Form = Form.CREAM, route: Route = Route.SKIN) -> Content:
    lines = tuple(Line(name, Fixed(parse_amount("2 g"))) for name in names)
    return replace(a_content(), form=form, route=route, lines=lines, label=LabelText())


def codes(content: Content) -> list[str]:
    return [each.code for each in warnings_for(content).printed]


@pytest.mark.parametrize(
    ("content", "code"),
    [
        (holding("Zinc oxide"), "external_use"),
        (holding("Zinc oxide", route=Route.SCALP), "scalp_use"),
        (holding("Sodium chloride", form=Form.DROPS, route=Route.EAR), "for_ear_use"),
        (holding("Sodium chloride", form=Form.DROPS, route=Route.NOSE), "for_nose_use"),
        (holding("Zinc oxide", form=Form.SUPPOSITORIES, route=Route.RECTAL), "rectal_use"),
        (holding("Metronidazole", form=Form.PESSARIES, route=Route.VAGINAL), "vaginal_use"),
        (holding("Calamine", form=Form.SUSPENSION), "shake_before_use"),
        (holding("Zinc oxide", form=Form.OINTMENT), "emollient_fire"),
        (holding("White soft paraffin", form=Form.CREAM), "emollient_fire"),
        (holding("Arachis oil", form=Form.CREAM), "contains_peanut_oil"),
        (holding("Coal tar solution", form=Form.LOTION), "sun"),
        (holding("Testosterone", form=Form.GEL), "keep_covered"),
        (holding("Wool fat", form=Form.GEL), "contains_wool_fat"),
        (holding("Thiamine", form=Form.SYRUP, route=Route.ORAL), "keep_out_of_reach_of_children"),
    ],
)
def test_a_warning_is_called_for_by_what_the_preparation_is(content: Content, code: str) -> None:
    assert code in codes(content)


@pytest.mark.parametrize(
    ("content", "code"),
    [
        (holding("Thiamine", form=Form.SYRUP, route=Route.ORAL), "external_use"),
        (holding("Thiamine", form=Form.SOLUTION, route=Route.ORAL), "shake_before_use"),
        (holding("Carbomer", form=Form.GEL), "emollient_fire"),
        (holding("Sesame oil", form=Form.CREAM), "contains_peanut_oil"),
    ],
)
def test_nothing_is_warned_of_that_isnt_there(content: Content, code: str) -> None:
    assert code not in codes(content)


def test_each_has_its_reason_in_words() -> None:
    chosen = warnings_for(holding("Coal tar solution", form=Form.LOTION))
    sun = next(each for each in chosen.printed if each.code == "sun")
    assert Catalogue().text(sun.why) == "Because it holds Coal tar solution."
    assert sun.citation


def test_there_are_few_and_what_must_be_there_comes_first() -> None:
    content = holding(
        "Coal tar", "Salicylic acid", "Wool fat", "Propylene glycol", "Benzyl alcohol"
    )
    chosen = warnings_for(content)
    assert len(chosen.printed) == FEW
    assert all(each.must for each in chosen.printed[:3])
    assert {each.code for each in chosen.left} >= {"contains_propylene_glycol"}


def test_what_the_formula_names_is_always_printed() -> None:
    own = ("may_stain", "sun", "wash_hands", "drowsy", "keep_closed", "contains_fragrance")
    content = replace(holding("Zinc oxide"), label=LabelText(warnings=own))
    assert set(own) <= set(codes(content))


def test_an_ingredients_own_record_counts() -> None:
    oil = Ingredient("i-1", "House oil", warnings=("contains_peanut_oil",))
    content = holding("House oil")
    line = replace(content.lines[0], ingredient_id="i-1")
    chosen = warnings_for(replace(content, lines=(line,)), (oil,))
    found = next(each for each in chosen.printed if each.code == "contains_peanut_oil")
    assert "House oil" in Catalogue().text(found.why)


def test_every_code_has_its_wording_and_every_row_its_source() -> None:
    known = {key.rpartition(".")[2] for key in keys_under("label.warning")}
    for row in table(TABLE):
        assert row["code"] in known
        assert row["source"]
