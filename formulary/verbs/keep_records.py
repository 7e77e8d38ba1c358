"""Keep the house, an ingredient or a person as edited."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from formulary.desk import Desk
from formulary.errors import Refusal
from formulary.house import House
from formulary.ingredient import Ingredient
from formulary.look_alikes import renamed, require_known
from formulary.messages import message
from formulary.monograph import require_handled, require_sound
from formulary.people import Person, require_a_pharmacist
from formulary.store import Writing


def save_house(desk: Desk, house: House, reason: str = "") -> House:
    """Keep the house's settings; its own rules for dates stay as they were signed.

    By which rule set dates are given is for a pharmacist to choose.
    """
    before = next(iter(desk.store.every(House)), house)
    house = replace(house, house_rules=before.house_rules)
    if (house.rule_set, house.first_day) != (before.rule_set, before.first_day):
        desk.may("sign_house_rules")
    with desk.writing("save_house", reason) as writing:
        return writing.put(house)


def save_ingredient(desk: Desk, ingredient: Ingredient, reason: str = "") -> Ingredient:
    """Keep an ingredient; where it is renamed, those that it is taken for follow.

    Raises :class:`formulary.errors.Refusal` for a name already taken, and
    :class:`formulary.errors.BadText` for what can't be right in it.
    """
    every = desk.store.every(Ingredient)
    wanted = ingredient.name.casefold()
    for other in every:
        if other.id != ingredient.id and other.name.casefold() == wanted:
            raise Refusal(message("verbs.ingredient_taken", name=ingredient.name))
    require_sound(ingredient.monograph)
    require_handled(ingredient.handling)
    require_known(ingredient, every)
    with desk.writing("save_ingredient", reason) as writing:
        _tell_look_alikes(writing, ingredient, every)
        return writing.put(ingredient)


def _tell_look_alikes(writing: Writing, now: Ingredient, every: Iterable[Ingredient]) -> None:
    before = writing.get(Ingredient, now.id)
    if before is None or before.name == now.name:
        return
    for other in every:
        after = renamed(other, before.name, now.name)
        if other.id != now.id and after != other:
            writing.put(after)


def save_person(desk: Desk, person: Person) -> Person:
    """Keep somebody who works here. Raises Refusal where no pharmacist would be left."""
    others = desk.store.every(Person)
    require_a_pharmacist(desk.store.get(Person, person.id), person, others)
    with desk.writing("save_person") as writing:
        return writing.put(person)
