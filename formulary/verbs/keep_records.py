"""Keep the house, an ingredient or a person as edited."""

from __future__ import annotations

from formulary.desk import Desk
from formulary.errors import Refusal
from formulary.house import House
from formulary.ingredient import Ingredient
from formulary.messages import message
from formulary.people import Person


def save_house(desk: Desk, house: House, reason: str = "") -> House:
    """Keep the house's settings."""
    with desk.store.writing(desk.act(reason), "save_house") as writing:
        return writing.put(house)


def save_ingredient(desk: Desk, ingredient: Ingredient, reason: str = "") -> Ingredient:
    """Keep an ingredient. Raises :class:`formulary.errors.Refusal` for a name already taken."""
    wanted = ingredient.name.casefold()
    for other in desk.store.every(Ingredient):
        if other.id != ingredient.id and other.name.casefold() == wanted:
            raise Refusal(message("verbs.ingredient_taken", name=ingredient.name))
    with desk.store.writing(desk.act(reason), "save_ingredient") as writing:
        return writing.put(ingredient)


def save_person(desk: Desk, person: Person) -> Person:
    """Keep somebody who works here."""
    with desk.store.writing(desk.act(), "save_person") as writing:
        return writing.put(person)
