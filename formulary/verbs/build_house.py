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
from formulary.stock.container import StockContainer
from formulary.stock.counting import CountedGood
from formulary.stock.lot import SupplyLot
from formulary.stock.moves import StockMove
from formulary.stock.numbers import container_number
from formulary.stock.shelf import Level
from formulary.store import Store, Writing
from formulary.wording.book import WordingBook


@dataclass(frozen=True, slots=True)
class Shipment:
    """A lot as it stands, its containers without numbers yet, and their moves."""

    lot: SupplyLot
    containers: tuple[StockContainer, ...]
    moves: tuple[StockMove, ...]


@dataclass(frozen=True, slots=True)
class HouseBook:
    """A house on paper: its settings, people, ingredients, stock, and versions, oldest first.

    A version's ``formula_id`` may be any text that is the same for versions of one formula.
    """

    house: House
    people: tuple[Person, ...]
    ingredients: tuple[Ingredient, ...] = ()
    versions: tuple[Version, ...] = ()
    shipments: tuple[Shipment, ...] = ()
    levels: tuple[Level, ...] = ()
    goods: tuple[tuple[CountedGood, StockMove], ...] = ()
    files: tuple[bytes, ...] = ()
    wordings: tuple[WordingBook, ...] = ()


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
        for wording in book.wordings:
            writing.put(wording)
        _stock(writing, book)
        return house


def _stock(writing: Writing, book: HouseBook) -> None:
    for data in book.files:
        writing.keep_file(data)
    for shipment in book.shipments:
        writing.put(shipment.lot)
        first = writing.allot_containers(len(shipment.containers))
        for i, container in enumerate(shipment.containers):
            writing.put(replace(container, number=container_number(first + i)))
        for move in shipment.moves:
            writing.put(move)
    for level in book.levels:
        writing.put(level)
    for good, counted in book.goods:
        writing.put(good)
        writing.put(counted)


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
