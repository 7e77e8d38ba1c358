"""Read a prescription with this house's ingredients, and find the house formulas nearest to it."""

from __future__ import annotations

from dataclasses import dataclass

from formulary.errors import Refusal
from formulary.formula.completing import completed
from formulary.formula.content import Content
from formulary.formula.stability import WaterClass
from formulary.formula.version import State, Version
from formulary.house import House
from formulary.ingredient import Ingredient
from formulary.prescription.composing import (
    MAY_BE_INGREDIENTS,
    Answer,
    Chosen,
    as_proposed,
    compose,
)
from formulary.prescription.lines import Prescription, ReadLine, Sort
from formulary.prescription.nearest import HouseFormula, Near, nearest
from formulary.prescription.reading import read, roles_of
from formulary.review.holding_water import water_by_records
from formulary.store import Reading

_LEFT_OUT = "not read"


@dataclass(frozen=True, slots=True)
class Proposed:
    """A prescription as read, and the house formulas nearest to what is sure of it so far.

    ``water`` is whether it holds water where every line tells, None where that is asked.
    """

    prescription: Prescription
    near: tuple[Near, ...]
    water: WaterClass | None = None


def read_prescription(
    store: Reading, house: House, text: str, *, doses: bool | None = None
) -> Proposed:
    """Return a prescription's lines as proposals; whatever the text, nothing is kept.

    ``doses`` is what a person found out where the text leaves it open: whether each quantity is
    for one unit, or the whole is divided.
    """
    ingredients = store.every(Ingredient)
    formulas = in_use_here(store)
    roles = roles_of(each.content for each in formulas)
    found = read(text, ingredients, house.decimal_sign, roles, doses=doses)
    content = so_far(found, house.decimal_sign)
    if content is None:
        return Proposed(found, ())
    known = completed(content, ingredients)
    water = water_by_records(known, ingredients) if _is_whole(found, content) else None
    return Proposed(found, nearest(known, formulas), water)


def _is_whole(prescription: Prescription, content: Content) -> bool:
    """Tell whether every line that may be an ingredient is in the content."""
    maybe = [each for each in prescription.lines if each.sort in MAY_BE_INGREDIENTS]
    return len(maybe) == len(content.lines)


def in_use_here(store: Reading) -> tuple[HouseFormula, ...]:
    """Return the house formulas in use, without anybody's one-off."""
    ingredients = store.every(Ingredient)
    return tuple(
        HouseFormula(version.id, completed(version.content, ingredients))
        for version in store.having_any(Version, "state", [State.IN_USE.value])
        if not version.order_id
    )


def so_far(prescription: Prescription, decimal_sign: str) -> Content | None:
    """Return what is sure of a prescription as a formula to compare with, None without a form."""
    form, route = prescription.form, prescription.route
    if form is None or route is None:
        return None
    answers = [_sure(at, line) for at, line in enumerate(prescription.lines)]
    settled = prescription.doubts
    chosen = Chosen("-", "-", form, route, units=prescription.units, settled=settled)
    try:
        content = compose(prescription, answers, chosen, decimal_sign)
    except Refusal:
        return None
    return content if content.lines else None


def _sure(position: int, line: ReadLine) -> Answer:
    proposed = as_proposed(position, line)
    if line.sort is Sort.INGREDIENT and line.ingredient and line.quantity:
        return proposed
    return Answer(position, aside=_LEFT_OUT)
