"""What the bench is told of a line's ingredient: how it is handled, and what it gives off."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from formulary.bench.evaporating import Evaporates, evaporates
from formulary.formula.content import Line
from formulary.ingredient import Ingredient
from formulary.look_alikes import look_alikes_of
from formulary.messages import Message, message
from formulary.monograph import Handling, write_listing
from formulary.review.substances import known_names
from formulary.store import Reading


def line_cautions(store: Reading, lines: Iterable[Line]) -> tuple[tuple[Message, ...], ...]:
    """Return for each line what its ingredient is taken for, and how it is handled if hazardous."""
    every = store.every(Ingredient)
    known = {each.id: each for each in every}
    found = (known.get(line.ingredient_id) for line in lines)
    return tuple(tuple(_cautions(each, every)) if each is not None else () for each in found)


def evaporating(store: Reading, lines: Iterable[Line]) -> tuple[Evaporates, ...]:
    """Return for each line what it gives off, by every name that its ingredient has."""
    known = {each.id: each for each in store.every(Ingredient)}
    return tuple(evaporates(_names(line, known.get(line.ingredient_id))) for line in lines)


def _names(line: Line, one: Ingredient | None) -> tuple[str, ...]:
    more = (one.name, one.latin, *one.synonyms) if one is not None else ()
    return known_names((line.ingredient, *more))


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
