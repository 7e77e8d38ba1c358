"""What a label must say by jurisdiction: elements, their order, phrases and least type, as data.

One file in ``resources/label_profiles`` each, every element with its source. The house picks one;
local law and the pharmacist decide what it leaves open.
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from functools import cache
from typing import Any

from formulary.errors import NotFound
from formulary.messages import Message, message
from formulary.quantity import units
from formulary.quantity.amount import Amount
from formulary.quantity.parsing import parse_amount
from formulary.resources import resource_path

NEUTRAL = "neutral"


class Element(StrEnum):
    """Something that a label can have to say."""

    HOUSE = "house"
    ADDRESS = "address"
    TELEPHONE = "telephone"
    PATIENT = "patient"
    PRESCRIBER = "prescriber"
    NAME = "name"
    ACTIVES = "actives"
    COMPOSITION = "composition"
    EXCIPIENTS = "excipients"
    QUANTITY = "quantity"
    FORM = "form"
    ROUTE = "route"
    TARGET = "target"
    DIRECTIONS = "directions"
    MADE_ON = "made_on"
    USE_BY = "use_by"
    AFTER_OPENING = "after_opening"
    LOT = "lot"
    STORAGE = "storage"
    WARNINGS = "warnings"
    COMPOUNDED = "compounded"
    CHILDREN = "children"


PLACES: Mapping[Element, str] = {
    Element.HOUSE: "house.name",
    Element.ADDRESS: "house.address",
    Element.TELEPHONE: "house.telephone",
    Element.PATIENT: "order.patient",
    Element.PRESCRIBER: "order.prescriber",
    Element.NAME: "label.name",
    Element.ACTIVES: "label.strength",
    Element.COMPOSITION: "ingredient.0.name",
    Element.EXCIPIENTS: "ingredient.0.name",
    Element.QUANTITY: "order.target",
    Element.FORM: "form",
    Element.ROUTE: "route",
    Element.TARGET: "label.target",
    Element.DIRECTIONS: "order.directions",
    Element.MADE_ON: "order.target",
    Element.USE_BY: "shelf_life.unopened",
    Element.AFTER_OPENING: "shelf_life.opened",
    Element.LOT: "order.target",
    Element.STORAGE: "storage.highest",
    Element.WARNINGS: "label.warnings",
    Element.COMPOUNDED: "house.label_profile",
    Element.CHILDREN: "label.warnings",
}
"""The field to go to for each: of the formula, of the order, or of the house in Settings."""


@dataclass(frozen=True, slots=True)
class Requirement:
    """An element that the label must have, always or only where it is for a patient."""

    element: Element
    source: str
    seen: bool
    for_patients: bool = False


@dataclass(frozen=True, slots=True)
class SmallContainers:
    """What containers up to a volume may say alone, the rest standing in a leaflet or on a box."""

    up_to: Amount
    elements: frozenset[Element]
    essential_pt: float
    source: str


@dataclass(frozen=True, slots=True)
class Profile:
    """One jurisdiction's rules for labels.

    ``order`` is that of what comes after the essentials. ``essential_pt`` and ``small_pt`` are the
    least sizes of type, 0 where the stock's own floor is enough; ``phrases`` take the place of the
    wordings that come along, by language and code.
    """

    code: str
    title: str
    requires: tuple[Requirement, ...]
    order: tuple[Element, ...] = ()
    essential_pt: float = 0
    small_pt: float = 0
    sizes_source: str = ""
    small: SmallContainers | None = None
    phrases: tuple[tuple[str, tuple[tuple[str, str], ...]], ...] = ()

    @property
    def elements(self) -> frozenset[Element]:
        """Everything that it asks for."""
        return frozenset(each.element for each in self.requires)

    def phrases_in(self, language: str) -> tuple[tuple[str, str], ...]:
        """Return its own phrases in a language, by their codes."""
        return dict(self.phrases).get(language, ())

    def is_small(self, fill: Amount) -> bool:
        """Tell whether a container with that much in it may say less."""
        small = self.small
        if small is None or units.dimension(fill.unit) is not units.dimension(small.up_to.unit):
            return False
        return fill <= small.up_to


@cache
def label_profiles() -> tuple[Profile, ...]:
    """Return every profile, the neutral one first."""
    paths = resource_path("label_profiles").glob("*.toml")
    codes = sorted((path.stem for path in paths), key=lambda code: (code != NEUTRAL, code))
    return tuple(map(_read, codes))


@cache
def label_profile(code: str) -> Profile:
    """Return the profile with that code, the neutral one for none.

    Raises :class:`formulary.errors.NotFound`, naming those there are.
    """
    profiles = {each.code: each for each in label_profiles()}
    if (code or NEUTRAL) not in profiles:
        raise NotFound(message("label.no_such_profile", code=code, there_are=tuple(profiles)))
    return profiles[code or NEUTRAL]


def element_name(element: Element) -> Message:
    """Return what an element is called."""
    return message(f"label.element.{element}")


def _read(code: str) -> Profile:
    path = resource_path("label_profiles", f"{code}.toml")
    whole = tomllib.loads(path.read_text(encoding="utf-8"))
    type_sizes, small = whole.get("type", {}), whole.get("small_containers")
    return Profile(
        code=code,
        title=whole["title"],
        requires=tuple(map(_requirement, whole["requires"])),
        order=tuple(map(Element, whole.get("order", ()))),
        essential_pt=float(type_sizes.get("essential_pt", 0)),
        small_pt=float(type_sizes.get("small_pt", 0)),
        sizes_source=type_sizes.get("source", ""),
        small=_small(small) if small else None,
        phrases=tuple((one, tuple(said.items())) for one, said in whole.get("phrases", {}).items()),
    )


def _requirement(row: Mapping[str, Any]) -> Requirement:
    return Requirement(
        Element(row["element"]), row["source"], row["seen"], row.get("for_patients", False)
    )


def _small(table: Mapping[str, Any]) -> SmallContainers:
    return SmallContainers(
        parse_amount(table["up_to"]),
        frozenset(map(Element, table["elements"])),
        float(table["essential_pt"]),
        table["source"],
    )
