"""Whether a formula holds water, as far as the house's records of its ingredients tell."""

from __future__ import annotations

from collections.abc import Iterable

from formulary.formula.content import Content
from formulary.formula.stability import WaterClass
from formulary.ingredient import Ingredient, Matter
from formulary.review.substances import groups_of, known_names
from formulary.stock.lot import Source

_DRY = (Matter.POWDER, Matter.CRYSTALS, Matter.WAX)
_HOLDS_WATER = frozenset({"water", "watery base"})
_FREE = "free of water"


def water_by_records(content: Content, ingredients: Iterable[Ingredient]) -> WaterClass | None:
    """Return the class that the lines show, None where it has to be asked.

    One line of water is enough for aqueous. Only where each line is a dry substance or a fatty base
    by its record is there none.
    """
    known = {each.id: each for each in ingredients}
    found = [_of(line.ingredient, known.get(line.ingredient_id)) for line in content.lines]
    if WaterClass.AQUEOUS in found:
        return WaterClass.AQUEOUS
    return WaterClass.NON_AQUEOUS if found and None not in found else None


def _of(name: str, record: Ingredient | None) -> WaterClass | None:
    kept = (record.name, record.latin, *record.synonyms) if record else ()
    groups = groups_of(known_names((name, *kept)))
    if groups & _HOLDS_WATER:
        return WaterClass.AQUEOUS
    if record is None or record.source is not Source.SUBSTANCE:
        return WaterClass.NON_AQUEOUS if record and _FREE in groups else None
    return WaterClass.NON_AQUEOUS if record.matter in _DRY or _FREE in groups else None
