"""Goods in: the containers of a delivery, what each holds, and what is doubtful about its lot."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence
from datetime import datetime

from formulary.errors import BadText
from formulary.finding import Finding, Severity
from formulary.formula.content import Period
from formulary.messages import message
from formulary.people import Person
from formulary.quantity.amount import Amount
from formulary.stock.container import StockContainer
from formulary.stock.lot import SupplyLot
from formulary.stock.moves import Cause, StockMove
from formulary.stock.numbers import container_number

MOST_CONTAINERS = 200
"""Of one delivery; more is a slip of the finger."""


def containers_of(
    lot: SupplyLot,
    sizes: Sequence[Amount],
    ids: Sequence[str],
    first_number: int,
    in_use: Period | None = None,
) -> tuple[StockContainer, ...]:
    """Return a container for each size, numbered from the first, none of them identified yet.

    ``in_use`` is how long one lasts once it is opened.
    """
    return tuple(
        StockContainer(
            each, container_number(first_number + i), lot.id, size, lot.place, None, in_use
        )
        for i, (each, size) in enumerate(zip(ids, sizes, strict=True))
    )


def arrivals(
    containers: Sequence[StockContainer], ids: Sequence[str], at: datetime, person: Person
) -> tuple[StockMove, ...]:
    """Return the first move of each container: that it came in full."""
    return tuple(
        StockMove(each, full.id, full.size, Cause.RECEIVED, at, person.id, person.name)
        for each, full in zip(ids, containers, strict=True)
    )


def doubts(lot: SupplyLot, others: Iterable[SupplyLot]) -> tuple[Finding, ...]:
    """Return what is doubtful about a lot as it was received beside those that are here."""
    found = [
        Finding(Severity.REASON, message(f"stock.receipt.no_{name}"), name)
        for name, value in _told(lot)
        if not value.strip()
    ]
    if lot.expiry.is_over(lot.received_on):
        said = message("stock.receipt.came_expired", end=lot.expiry.last_day)
        found.append(Finding(Severity.REASON, said, "expiry"))
    if lot.expiry.assigned_by:
        said = message("stock.receipt.assigned", by=lot.expiry.assigned_by)
        found.append(Finding(Severity.NOTE, said, "expiry"))
    earlier = [each for each in others if each.id != lot.id and _same_goods(each, lot)]
    found += [_again(lot, each) for each in earlier]
    return tuple(found)


def require_supplier(lot: SupplyLot, approved: Collection[str]) -> None:
    """Raise :class:`formulary.errors.BadText` for a supplier off the list without a reason.

    A house that keeps no list asks for none.
    """
    names = {each.casefold() for each in approved}
    if names and lot.supplier.strip().casefold() not in names and not lot.supplier_reason.strip():
        said = message("stock.receipt.other_supplier", supplier=lot.supplier or "?")
        raise BadText(said, field="supplier_reason")


def beside_look_alikes(lot: SupplyLot, others: Iterable[tuple[str, SupplyLot]]) -> list[Finding]:
    """Return a finding where a look-alike (its name, and a lot of it) stands in the same place."""
    names = {name for name, other in others if lot.place and other.place == lot.place}
    return [
        Finding(
            Severity.REASON,
            message("stock.receipt.beside_look_alike", name=name, place=lot.place),
            "place",
        )
        for name in sorted(names)
    ]


def _told(lot: SupplyLot) -> tuple[tuple[str, str], ...]:
    """Return what a receipt records besides number and dates (USP <795>, from memory)."""
    told = {"supplier": lot.supplier, "maker": lot.maker, "grade": lot.grade, "place": lot.place}
    return tuple(told.items())


def _same_goods(one: SupplyLot, other: SupplyLot) -> bool:
    return (one.ingredient_id, one.number) == (other.ingredient_id, other.number)


def _again(lot: SupplyLot, earlier: SupplyLot) -> Finding:
    """Return that the lot came before; one lot has one date, so another one is a doubt."""
    day, end = earlier.received_on, earlier.expiry.last_day
    if lot.expiry.last_day == end:
        said = message("stock.receipt.came_before", lot=lot.number, day=day)
        return Finding(Severity.NOTE, said, "number")
    said = message("stock.receipt.other_date", lot=lot.number, day=day, end=end)
    return Finding(Severity.REASON, said, "expiry")
