"""The house's largest doses in a day of what a formula holds."""

from __future__ import annotations

from formulary.formula.completing import completed
from formulary.formula.content import Content
from formulary.ingredient import DoseLimit, Ingredient
from formulary.store import Reading


def dose_limits(store: Reading, content: Content) -> dict[str, tuple[DoseLimit, ...]]:
    """Return them by the names that the formula gives its ingredients."""
    known = {each.id: each for each in store.every(Ingredient)}
    lines = completed(content, known.values()).lines
    found = ((line.ingredient, known.get(line.ingredient_id)) for line in lines)
    return {name: record.doses for name, record in found if record is not None and record.doses}
