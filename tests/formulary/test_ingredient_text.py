"""An ingredient as texts, and back."""

from __future__ import annotations

import pytest

from formulary.catalogue import Catalogue
from formulary.exchange.sample_house import sample_house
from formulary.ingredient import Ingredient
from formulary.ingredient_text import ingredient_of, texts_of

INGREDIENTS = sample_house().ingredients


@pytest.mark.parametrize("sign", [".", ","])
@pytest.mark.parametrize("ingredient", INGREDIENTS, ids=lambda each: each.name)
def test_what_nobody_edited_stays_the_same(ingredient: Ingredient, sign: str) -> None:
    texts = texts_of(ingredient, Catalogue("en", sign))
    again = ingredient_of(texts, ingredient, sign)
    assert again.density == ingredient.density
    assert set(again.warnings) == set(ingredient.warnings)
    assert texts_of(again, Catalogue("en", sign)) == texts
