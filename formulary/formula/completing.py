"""A formula's lines completed from the house's ingredient records: density, drop and potency."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from formulary.formula.content import Content, Line
from formulary.ingredient import Ingredient


def completed(content: Content, ingredients: Iterable[Ingredient]) -> Content:
    """Return the content whose lines carry what the house knows and the formula doesn't say.

    A capsule formula's densities are its own: a powder's tapped density is never that of a record.
    """
    by_name: dict[str, Ingredient] = {}
    by_id: dict[str, Ingredient] = {}
    for ingredient in ingredients:
        by_id[ingredient.id] = ingredient
        for name in (ingredient.name, ingredient.latin, *ingredient.synonyms):
            if name:
                by_name.setdefault(name.casefold(), ingredient)
    return replace(
        content,
        lines=tuple(
            _completed(
                line,
                by_id.get(line.ingredient_id) or by_name.get(line.ingredient.casefold()),
                tapped=content.capsule is not None,
            )
            for line in content.lines
        ),
    )


def _completed(line: Line, ingredient: Ingredient | None, *, tapped: bool) -> Line:
    if ingredient is None:
        return line
    return replace(
        line,
        ingredient_id=ingredient.id,
        density=line.density or (None if tapped else ingredient.density),
        drop=line.drop or ingredient.drop,
        potency=line.potency or ingredient.potency,
        factor_range=line.factor_range or ingredient.factor_range,
    )
