"""What the bench is told of a line's ingredient before a container is taken."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from formulary.formula.content import Line
from formulary.ingredient import Ingredient
from formulary.look_alikes import look_alikes_of
from formulary.messages import Message, message
from formulary.monograph import Handling, write_listing
from formulary.store import Reading


def line_cautions(store: Reading, lines: Iterable[Line]) -> tuple[tuple[Message, ...], ...]:
    """Return for each line what its ingredient is taken for, and how it is handled if hazardous."""
    every = store.every(Ingredient)
    known = {each.id: each for each in every}
    found = (known.get(line.ingredient_id) for line in lines)
    return tuple(tuple(_cautions(each, every)) if each is not None else () for each in found)


def _cautions(one: Ingredient, every: Sequence[Ingredient]) -> Iterator[Message]:
    alike = tuple(each.name for each in look_alikes_of(one, every))
    if alike:
        yield message("ingredient.caution.look_alike", names=alike)
    if one.handling.listings:
        yield _hazardous(one.handling)


def _hazardous(handling: Handling) -> Message:
    listings = tuple(map(write_listing, handling.listings))
    return message(
        "ingredient.caution.hazardous", listings=listings, precautions=handling.precautions
    )
