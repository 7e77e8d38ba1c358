"""How long each material lasts that went into a preparation; nothing in it outlasts that."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from formulary.stock.container import lasts_until
from formulary.stock.lot import Source
from formulary.stock.shelf import Holding


class Sort(StrEnum):
    """Whose date it is: a supplier's lot, a preparation made here, or a pack once opened."""

    LOT = "lot"
    INTERMEDIATE = "intermediate"
    OPENED = "opened"


@dataclass(frozen=True, slots=True)
class Ending:
    """The last day of a material, under its name and the number of its lot or container."""

    sort: Sort
    name: str
    number: str
    last_day: date


def endings(held: Iterable[Holding], names: Mapping[str, str]) -> tuple[Ending, ...]:
    """Return the dates of the containers that were weighed from, each once.

    ``names`` are those of the ingredients by their ids.
    """
    return tuple(dict.fromkeys(each for holding in held for each in _endings(holding, names)))


def _endings(holding: Holding, names: Mapping[str, str]) -> Iterator[Ending]:
    container, lot = holding.container, holding.lot
    name = names.get(lot.ingredient_id, lot.number)
    sort = Sort.INTERMEDIATE if lot.source is Source.INTERMEDIATE else Sort.LOT
    yield Ending(sort, name, lot.number, lot.expiry.last_day)
    until = lasts_until(container, lot).result
    if until < lot.expiry.last_day:
        yield Ending(Sort.OPENED, name, container.number, until)
