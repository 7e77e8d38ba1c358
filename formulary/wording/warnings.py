"""Which warnings a label carries, by rule and by the ingredients' records, and why.

Few are read: over half of patients misread an auxiliary label (USP <17>). So those that must be
there stand first, and the others only fill up what a reader takes in.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from typing import Any

from formulary.calculating.tables import table
from formulary.formula.content import Content
from formulary.ingredient import Ingredient
from formulary.messages import Message, message

TABLE = "label-warnings"
FEW = 5
"""How many a label carries unless more must be there (our figure; USP <17> asks for few)."""

_LAST = 100


@dataclass(frozen=True, slots=True)
class Warned:
    """A warning with its place among the others, and why it is there."""

    code: str
    place: int
    must: bool
    why: Message
    citation: str = ""


@dataclass(frozen=True, slots=True)
class Chosen:
    """What a label carries, and what was left to the leaflet because there is enough."""

    printed: tuple[Warned, ...]
    left: tuple[Warned, ...]


def warnings_for(content: Content, ingredients: Iterable[Ingredient] = ()) -> Chosen:
    """Return a formula's warnings: its own, those called for by rule and by its ingredients.

    What the formula itself names is always printed.
    """
    found: dict[str, Warned] = {}
    for each in (*_own(content), *_by_rule(content), *_of_records(content, ingredients)):
        before = found.get(each.code)
        if before is None or (each.must and not before.must):
            found[each.code] = each
    in_order = sorted(found.values(), key=lambda each: (each.place, each.code))
    return _few(in_order)


def _few(in_order: list[Warned]) -> Chosen:
    room = FEW - sum(each.must for each in in_order)
    printed: list[Warned] = []
    left: list[Warned] = []
    for each in in_order:
        if each.must or room > 0:
            printed.append(each)
            room -= not each.must
        else:
            left.append(each)
    return Chosen(tuple(printed), tuple(left))


def _own(content: Content) -> Iterator[Warned]:
    for code in content.label.warnings:
        yield Warned(code, _place(code), must=True, why=message("wording.why.formula"))


def _by_rule(content: Content) -> Iterator[Warned]:
    names = [(line.ingredient, line.ingredient.casefold()) for line in content.lines]
    for row in table(TABLE):
        why = _called_for(row, content, names)
        if why is not None:
            yield Warned(row["code"], row["place"], row["must"], why, row["source"])


def _called_for(
    row: Mapping[str, Any], content: Content, names: list[tuple[str, str]]
) -> Message | None:
    """Return why a row holds; each kind of condition that it has must be met."""
    why: list[Message] = []
    for kind, said in (("forms", content.form), ("routes", content.route)):
        if kind in row:
            if said.value not in row[kind]:
                return None
            key = f"formula.{kind[:-1]}.{said.name.lower()}"
            why.append(message(f"wording.why.{kind[:-1]}", it=message(key)))
    if "ingredients" in row:
        found = _named(row["ingredients"], names)
        if not found:
            return None
        why.append(message("wording.why.ingredient", it=found))
    return message("wording.why.all", reasons=tuple(why)) if why else None


def _named(words: Iterable[str], names: list[tuple[str, str]]) -> str:
    """Return the first ingredient in whose name one of the words is."""
    fitting = (name for name, folded in names if any(each in folded for each in words))
    return next(fitting, "")


def _of_records(content: Content, ingredients: Iterable[Ingredient]) -> Iterator[Warned]:
    wanted = {line.ingredient_id for line in content.lines if line.ingredient_id}
    for each in ingredients:
        if each.id in wanted:
            why = message("wording.why.record", it=each.name)
            for code in each.warnings:
                yield Warned(code, _place(code), _must(code), why)


@cache
def _rows() -> Mapping[str, Mapping[str, Any]]:
    return {row["code"]: row for row in table(TABLE)}


def _place(code: str) -> int:
    row = _rows().get(code)
    return _LAST if row is None else int(row["place"])


def must_be_printed(code: str) -> bool:
    """Tell whether a warning has to stand on the label itself, never in a leaflet alone."""
    return _must(code)


def _must(code: str) -> bool:
    row = _rows().get(code)
    return row is not None and bool(row["must"])
