"""Keep the house, an ingredient or a person as edited."""

from __future__ import annotations

from formulary.desk import Desk
from formulary.errors import Refusal
from formulary.house import House
from formulary.ingredient import Ingredient
from formulary.messages import message
from formulary.people import Person, require_a_pharmacist


def save_house(desk: Desk, house: House, reason: str = "") -> House:
    """Keep the house's settings."""
    with desk.writing("save_house", reason) as writing:
        return writing.put(house)


def save_ingredient(desk: Desk, ingredient: Ingredient, reason: str = "") -> Ingredient:
    """Keep an ingredient. Raises :class:`formulary.errors.Refusal` for a name already taken."""
    wanted = ingredient.name.casefold()
    for other in desk.store.every(Ingredient):
        if other.id != ingredient.id and other.name.casefold() == wanted:
            raise Refusal(message("verbs.ingredient_taken", name=ingredient.name))
    with desk.writing("save_ingredient", reason) as writing:
        return writing.put(ingredient)


def save_person(desk: Desk, person: Person) -> Person:
    """Keep somebody who works here. Raises Refusal where no pharmacist would be left."""
    others = desk.store.every(Person)
    require_a_pharmacist(desk.store.get(Person, person.id), person, others)
    with desk.writing("save_person") as writing:
        return writing.put(person)
