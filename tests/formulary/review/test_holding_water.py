"""A one-off is proposed as free of water only where every line tells."""

from __future__ import annotations

from dataclasses import replace

import pytest

from formulary.formula.content import Content
from formulary.formula.stability import WaterClass
from formulary.ingredient import Ingredient, Matter
from formulary.review.holding_water import water_by_records
from formulary.stock.lot import Source
from tests.helpers.kept import a_content

RECORDS = (
    Ingredient("zinc", "Zinc oxide"),
    Ingredient("paraffin", "White soft paraffin", matter=Matter.SEMISOLID),
    Ingredient("cream", "Nonionic hydrophilic cream", matter=Matter.SEMISOLID, source=Source.BASE),
    Ingredient("gel", "House gel", matter=Matter.SEMISOLID, source=Source.BASE),
    Ingredient("powder", "House blend", source=Source.INTERMEDIATE),
    Ingredient("water", "Purified water", matter=Matter.LIQUID),
)


def of(*ids: str) -> Content:
    line = a_content("One-off", "").lines[0]
    names = {each.id: each.name for each in RECORDS}
    lines = tuple(
        replace(line, ingredient=names.get(each, each), ingredient_id=each) for each in ids
    )
    return replace(a_content("One-off", ""), lines=lines)


@pytest.mark.parametrize(
    ("ids", "found"),
    [
        (("zinc", "paraffin"), WaterClass.NON_AQUEOUS),
        (("zinc", "water"), WaterClass.AQUEOUS),
        (("zinc", "cream"), WaterClass.AQUEOUS),
        (("zinc", "gel"), None),
        (("zinc", "powder"), None),
        (("zinc", "unheard of"), None),
    ],
)
def test_water_by_the_records_of_the_lines(ids: tuple[str, ...], found: WaterClass | None) -> None:
    assert water_by_records(of(*ids), RECORDS) is found
