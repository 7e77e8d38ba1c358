"""Ingredients whose names or containers are easily taken for each other."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from formulary.errors import BadText
from formulary.ingredient import Ingredient
from formulary.messages import message


def look_alikes_of(one: Ingredient, every: Iterable[Ingredient]) -> tuple[Ingredient, ...]:
    """Return what an ingredient is taken for; a pair noted at either of them counts for both."""
    own = {each.casefold() for each in one.look_alikes}
    return tuple(
        other
        for other in every
        if other.id != one.id
        and (other.name.casefold() in own or one.name.casefold() in _folded(other.look_alikes))
    )


def require_known(one: Ingredient, every: Iterable[Ingredient]) -> None:
    """Raise :class:`formulary.errors.BadText` for a look-alike that isn't on file, or is itself."""
    known = {each.name.casefold() for each in every if each.id != one.id}
    for name in one.look_alikes:
        if name.casefold() not in known:
            raise BadText(message("ingredient.no_look_alike", typed=name), field="look_alikes")


def renamed(other: Ingredient, before: str, after: str) -> Ingredient:
    """Return an ingredient whose look-alike got another name."""
    names = tuple(
        after if each.casefold() == before.casefold() else each for each in other.look_alikes
    )
    return replace(other, look_alikes=names)


def _folded(names: Iterable[str]) -> frozenset[str]:
    return frozenset(each.casefold() for each in names)
