"""What is on the shelf: what may be used, and what expires, is stopped, waits or runs low."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from fractions import Fraction

from formulary.errors import UnitMismatch
from formulary.messages import Message
from formulary.quantity.amount import Amount
from formulary.quantity.rounding import round_to_significant
from formulary.quantity.writing import convenient
from formulary.stock.container import StockContainer, lasts_until, obstacle
from formulary.stock.lot import Halt, Source, Status, SupplyLot

_DIGITS = 6


@dataclass(frozen=True, slots=True)
class Holding:
    """A container with its lot and what the book says is in it."""

    container: StockContainer
    lot: SupplyLot
    on_hand: Amount

    @property
    def until(self) -> date:
        """Return the last day on which it may be weighed from."""
        return lasts_until(self.container, self.lot).result


@dataclass(frozen=True, slots=True)
class Level:
    """The least of an ingredient, from one kind of source, that the house wants to have."""

    id: str
    ingredient_id: str
    least: Amount
    source: Source = Source.SUBSTANCE
    revision: int = 0


@dataclass(frozen=True, slots=True)
class Low:
    """An ingredient of which less may be used than the house wants to have."""

    level: Level
    usable: Amount


def turn(holding: Holding) -> tuple[date, bool, date, str]:
    """Return what sorts holdings by whose turn it is."""
    container = holding.container
    unopened = container.opened_on is None
    return holding.until, unopened, holding.lot.received_on, container.number


def usable(holdings: Iterable[Holding], today: date) -> tuple[Holding, ...]:
    """Return the holdings that may be weighed from today."""
    return tuple(each for each in holdings if obstacle(each.container, each.lot, today) is None)


def in_house(holdings: Iterable[Holding]) -> tuple[Holding, ...]:
    """Return the holdings that still hold something, whatever the book says."""
    return tuple(each for each in holdings if each.container.emptied_on is None)


def expiring(holdings: Iterable[Holding], today: date, days: int) -> tuple[Holding, ...]:
    """Return what may be used but not for more than so many days beyond today."""
    limit = today + timedelta(days=days)
    return tuple(sorted((e for e in usable(holdings, today) if e.until <= limit), key=turn))


def expired(holdings: Iterable[Holding], today: date) -> tuple[Holding, ...]:
    """Return what is in the house past its date and is to be thrown away."""
    return tuple(sorted((e for e in in_house(holdings) if e.until < today), key=turn))


def stored_at(holdings: Iterable[Holding], place: str) -> tuple[Holding, ...]:
    """Return what stands in a place, such as a fridge that was too warm."""
    return tuple(e for e in in_house(holdings) if e.container.place == place)


def halted(holdings: Iterable[Holding], halt: Halt) -> tuple[Holding, ...]:
    """Return what is in the house of lots that are recalled, or frozen."""
    return tuple(e for e in in_house(holdings) if e.lot.stop and e.lot.stop.halt is halt)


def waiting(holdings: Iterable[Holding]) -> tuple[Holding, ...]:
    """Return what stands in quarantine."""
    return tuple(e for e in in_house(holdings) if e.lot.status is Status.QUARANTINE)


def low(levels: Iterable[Level], holdings: Sequence[Holding], today: date) -> tuple[Low, ...]:
    """Return the ingredients of which less may be used today than the house wants to have."""
    fit = usable(holdings, today)
    found = (Low(level, _usable_of(level, fit)) for level in levels)
    return tuple(each for each in found if each.usable < each.level.least)


def _usable_of(level: Level, fit: Iterable[Holding]) -> Amount:
    total = Amount(Fraction(0), level.least.unit)
    for each in fit:
        if (each.lot.ingredient_id, each.lot.source) == (level.ingredient_id, level.source):
            total = _added(total, each.on_hand)
    return total


def _added(total: Amount, more: Amount) -> Amount:
    """Return the sum; what is held in another dimension than the level doesn't count for it."""
    try:
        return total + more
    except UnitMismatch:
        return total


def why_not(holdings: Iterable[Holding], today: date) -> tuple[tuple[Holding, Message], ...]:
    """Return what may not be used, each with the sentence that says why."""
    said = ((each, obstacle(each.container, each.lot, today)) for each in holdings)
    return tuple((each, why) for each, why in said if why is not None)


def for_reading(amount: Amount) -> Amount:
    """Return a book's amount as it is read: in g or mL, to six digits; never for sums.

    A book falls by exact masses through densities, so its own figure may have no end.
    """
    near = convenient(amount)
    return Amount(round_to_significant(near.number, _DIGITS), near.unit)
