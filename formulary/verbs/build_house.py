"""Furnish an empty formulary with a whole house, in one act."""

from __future__ import annotations

from dataclasses import dataclass, replace

from formulary.acts import Act
from formulary.errors import Refusal
from formulary.formula.completing import completed
from formulary.formula.version import Formula, Version
from formulary.house import House
from formulary.ids import new_id
from formulary.ingredient import Ingredient
from formulary.messages import message
from formulary.people import Person
from formulary.store import Store


@dataclass(frozen=True, slots=True)
class HouseBook:
    """A house on paper: its settings, people, ingredients and versions, oldest version first.

    A version's ``formula_id`` may be any text that is the same for versions of one formula.
    """

    house: House
    people: tuple[Person, ...]
    ingredients: tuple[Ingredient, ...] = ()
    versions: tuple[Version, ...] = ()


def build_house(store: Store, act: Act, book: HouseBook) -> House:
    """Put everything of the book into an empty store and return the house.

    Raises :class:`formulary.errors.Refusal` where there is a house already.
    """
    if store.every(House):
        raise Refusal(message("verbs.house_there_already"))
    with store.writing(act, "build_house") as writing:
        house = writing.put(book.house)
        for person in book.people:
            writing.put(person)
        for ingredient in book.ingredients:
            writing.put(ingredient)
        for version in _with_formulas(book):
            if isinstance(version, Formula):
                writing.put(version)
            else:
                writing.put(replace(version, content=completed(version.content, book.ingredients)))
        return house


def _with_formulas(book: HouseBook) -> list[Formula | Version]:
    """Return each formula before its versions, under ids of its own."""
    newest = {version.formula_id: version for version in book.versions}
    formulas = {
        key: Formula(new_id(), version.content.code, version.content.title)
        for key, version in newest.items()
    }
    versions = [
        replace(version, formula_id=formulas[version.formula_id].id) for version in book.versions
    ]
    return [*formulas.values(), *versions]
