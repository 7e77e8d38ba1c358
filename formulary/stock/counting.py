"""Jars, closures and label rolls: bought, used and counted by the piece."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction

from formulary.quantity.amount import Amount
from formulary.stock.cost import UnitCost
from formulary.stock.moves import StockMove, book

PIECE = "piece"


class Sort(StrEnum):
    """What kind of goods is counted; labels are counted one by one, not by the roll."""

    CONTAINER = "container"
    CLOSURE = "closure"
    LABELS = "labels"
    OTHER = "other"


@dataclass(frozen=True, slots=True)
class CountedGood:
    """Goods that are counted: ``least`` pieces are wanted on the shelf.

    ``number`` is the maker's lot number. Their moves are stock moves of whole pieces, with the
    good's id for the container's.
    """

    id: str
    name: str
    sort: Sort
    least: int = 0
    number: str = ""
    supplier: str = ""
    place: str = ""
    cost: UnitCost | None = None
    revision: int = 0


def pieces(number: int) -> Amount:
    """Return a number of pieces as the amount of a move."""
    return Amount(Fraction(number), PIECE)


def pieces_left(moves: Iterable[StockMove]) -> int:
    """Return how many pieces the moves of one good leave."""
    return int(book(moves, PIECE).on_hand.number)


def runs_low(good: CountedGood, left: int) -> bool:
    """Return whether fewer are left than the house wants to have."""
    return left < good.least
