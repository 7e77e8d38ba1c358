"""A name as prescribed is known in the genitive and cut short, and never guessed at."""

from __future__ import annotations

import pytest

from formulary.ingredient import Ingredient
from formulary.prescription.names import Fit, candidates, chosen
from tests.formulary.prescription.cases import SHELF


def taken_for(prescribed: str) -> str:
    """Return the name of the ingredient that is proposed, empty if none is."""
    one = chosen(candidates(prescribed, SHELF))
    return "" if one is None else one.name


@pytest.mark.parametrize(
    ("prescribed", "name"),
    [
        ("Acidi salicylici", "Salicylic acid"),
        ("Acidum salicylicum", "Salicylic acid"),
        ("acid salicylic", "Salicylic acid"),
        ("SALICYLSÄURE", "Salicylic acid"),
        ("Ac. salicyl.", "Salicylic acid"),
        ("Vaselini albi", "White soft paraffin"),
        ("Vasel. alb.", "White soft paraffin"),
        ("Aquae purificatae", "Purified water"),
        ("Aq. dest.", "Purified water"),
        ("Zinci oxidi", "Zinc oxide"),
        ("Zinci oxydati", "Zinc oxide"),
        ("Adipis lanae", "Wool fat"),
        ("Natrii citratis", "Sodium citrate"),
        ("Natrii bicarbonatis", "Sodium hydrogen carbonate"),
        ("Sirupi simplicis", "Syrup"),
        ("Glycerini", "Glycerol"),
        ("Glyceroli 85 %", "Glycerol 85 %"),
        ("Ethanoli 70 per centum", "Ethanol 70 %"),
        ("Hydrocort.", "Hydrocortisone"),
    ],
)
def test_a_prescribed_name_finds_its_ingredient(prescribed: str, name: str) -> None:
    assert taken_for(prescribed) == name


@pytest.mark.parametrize(
    "prescribed",
    [
        "Vaselini",
        "Ethanoli",
        "Ethanoli 80 %",
        "Magnes. oxid.",
        "Salicylate",
        "Acidi",
        "HCT",
        "Hyd.",
        "Betamethasoni",
        "",
        "...",
    ],
)
def test_a_name_that_could_be_several_or_none_is_never_chosen(prescribed: str) -> None:
    assert taken_for(prescribed) == ""


def test_a_name_that_two_ingredients_share_is_never_chosen() -> None:
    twins = (Ingredient("a", "Tar", "Pix"), Ingredient("b", "Pitch", "Pix"))
    assert chosen(candidates("Pix", twins)) is None


def test_several_that_fit_equally_are_offered() -> None:
    names = [each.name for each in candidates("Vaselini", SHELF)]
    assert names == ["White soft paraffin", "Yellow soft paraffin"]


def test_a_name_that_says_less_tells_what_is_missing() -> None:
    (lactose,) = candidates("Lactosi", SHELF)
    assert (lactose.fit, lactose.beyond) == (Fit.SHORT, ("monohydrate",))


def test_a_strength_in_the_houses_name_has_to_be_prescribed_too() -> None:
    one = chosen(candidates("Acidi lactici", SHELF))
    assert one is not None
    assert (one.fit, one.beyond) == (Fit.SHORT, ("90",))


def test_what_fits_in_part_is_offered_only_where_nothing_fits_whole() -> None:
    assert {each.fit for each in candidates("Ethanoli 80 %", SHELF)} == {Fit.PARTIAL}
    assert Fit.PARTIAL not in {each.fit for each in candidates("Zinci oxidi", SHELF)}
