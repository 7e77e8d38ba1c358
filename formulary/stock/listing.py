"""The stock as it is listed: each lot with how it stands today and what is left of it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from enum import StrEnum

from formulary.quantity.amount import Amount
from formulary.stock.lot import Halt, Status, SupplyLot
from formulary.stock.moves import held_as
from formulary.stock.shelf import Holding, turn

SOON = 30
"""Days: what runs out within them is shown as such. A house's habit, no source."""


class Standing(StrEnum):
    """How a lot stands today, the most urgent first."""

    RECALLED = "recalled"
    FROZEN = "frozen"
    EXPIRED = "expired"
    OPEN_TOO_LONG = "open too long"
    REJECTED = "rejected"
    QUARANTINE = "quarantine"
    EXPIRING = "expiring"
    USABLE = "usable"


STOPS = frozenset(
    {
        Standing.RECALLED,
        Standing.FROZEN,
        Standing.EXPIRED,
        Standing.OPEN_TOO_LONG,
        Standing.REJECTED,
    }
)
"""What is put apart."""


@dataclass(frozen=True, slots=True)
class LotOnShelf:
    """A lot with its containers in the house, the first to run out first.

    ``until`` is the last day of use of that first one. ``on_hand`` is the sum of all, in more
    than one part where mass and volume can't be added.
    """

    lot: SupplyLot
    ingredient: str
    holdings: tuple[Holding, ...]
    standing: Standing
    until: date
    on_hand: tuple[Amount, ...]

    def days_left(self, today: date) -> int:
        """Return how many days beyond today are left; below zero it is over."""
        return (self.until - today).days


def listed(
    holdings: Iterable[Holding], names: Mapping[str, str], today: date, soon: int = SOON
) -> tuple[LotOnShelf, ...]:
    """Return the lots of holdings, by the ingredient's name (``names`` by id) and date."""
    of_lots: dict[str, list[Holding]] = {}
    for each in holdings:
        of_lots.setdefault(each.lot.id, []).append(each)
    found = [_on_shelf(sorted(held, key=turn), names, today, soon) for held in of_lots.values()]
    return tuple(sorted(found, key=lambda each: (each.ingredient.casefold(), each.until)))


def _on_shelf(
    held: Sequence[Holding], names: Mapping[str, str], today: date, soon: int
) -> LotOnShelf:
    lot = held[0].lot
    name = names.get(lot.ingredient_id, lot.ingredient_id)
    until = held[0].until
    return LotOnShelf(lot, name, tuple(held), standing(held, today, soon), until, total(held))


def standing(held: Sequence[Holding], today: date, soon: int = SOON) -> Standing:
    """Return how the lot of these holdings stands, the most urgent of what applies."""
    lot, until = held[0].lot, min(each.until for each in held)
    if lot.stop is not None:
        return Standing.RECALLED if lot.stop.halt is Halt.RECALLED else Standing.FROZEN
    if lot.expiry.is_over(today):
        return Standing.EXPIRED
    if lot.status is Status.REJECTED:
        return Standing.REJECTED
    if until < today:
        return Standing.OPEN_TOO_LONG
    if lot.status is Status.QUARANTINE:
        return Standing.QUARANTINE
    return Standing.EXPIRING if until <= today + timedelta(days=soon) else Standing.USABLE


def total(held: Iterable[Holding]) -> tuple[Amount, ...]:
    """Return the sum of what is on hand, one amount for each dimension."""
    sums: list[Amount] = []
    for each in held:
        for i, amount in enumerate(sums):
            more = held_as(each.on_hand, amount.unit, None)
            if more is not None:
                sums[i] = amount + more
                break
        else:
            sums.append(each.on_hand)
    return tuple(sums)


def counts(lots: Iterable[LotOnShelf]) -> dict[Standing, int]:
    """Return how many lots stand in each way."""
    found = dict.fromkeys(Standing, 0)
    for each in lots:
        found[each.standing] += 1
    return found
