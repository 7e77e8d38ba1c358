"""What of the stock's records stays as it was kept. Pure."""

from __future__ import annotations

from dataclasses import replace

from formulary.stock.container import StockContainer
from formulary.stock.lot import Status, SupplyLot
from formulary.stock.moves import StockMove
from formulary.stock.recall import Recall
from formulary.store import Record

_NEXT = {
    Status.QUARANTINE: frozenset(Status),
    Status.ACCEPTED: frozenset({Status.ACCEPTED, Status.REJECTED}),
    Status.REJECTED: frozenset({Status.REJECTED}),
}


def fixed(record: Record, stored: Record) -> str:
    """Return the key of the sentence that says why a change is refused, "" where it isn't."""
    match record, stored:
        case StockMove(), StockMove():
            return "store.move_is_fixed"
        case SupplyLot(), SupplyLot():
            return "" if _lot_may_become(record, stored) else "store.lot_is_fixed"
        case StockContainer(), StockContainer():
            return "" if _container_may_become(record, stored) else "store.container_is_fixed"
        case Recall(), Recall():
            return "" if _recall_may_become(record, stored) else "store.recall_is_fixed"
        case _:
            return ""


def _lot_may_become(record: SupplyLot, stored: SupplyLot) -> bool:
    """Return whether no decision is unmade, and what was decided upon is still the same."""
    if record.status not in _NEXT[stored.status]:
        return False
    if stored.status is Status.QUARANTINE:
        return record.ingredient_id == stored.ingredient_id
    decided_anew = record.status is not stored.status
    same = replace(record, stop=stored.stop, place=stored.place, cost=stored.cost)
    if _is_retested(record, stored):
        same = replace(same, expiry=stored.expiry, retests=stored.retests)
    if decided_anew:
        same = replace(
            same,
            status=stored.status,
            decision=stored.decision,
            decision_reason=stored.decision_reason,
        )
    return same == stored


def _is_retested(record: SupplyLot, stored: SupplyLot) -> bool:
    """Return whether one retest is added that keeps the date there was."""
    *earlier, last = record.retests or (None,)
    return last is not None and tuple(earlier) == stored.retests and last.before == stored.expiry


def _container_may_become(record: StockContainer, stored: StockContainer) -> bool:
    """Return whether number, lot and size stay, and what once happened to it has happened."""
    checked = stored.identity
    return (
        (record.number, record.lot_id, record.size) == (stored.number, stored.lot_id, stored.size)
        and (checked is None or record.identity is not None)
        and (checked is None or checked.passed or record.identity == checked)
        and stored.opened_on in (None, record.opened_on)
        and stored.emptied_on in (None, record.emptied_on)
        and stored.filled_from in ("", record.filled_from)
    )


def _recall_may_become(record: Recall, stored: Recall) -> bool:
    """Return whether only attempts are added, until it is closed."""
    tried = [each.attempts for each in record.contacts]
    before = [each.attempts for each in stored.contacts]
    if stored.closed is not None or len(tried) != len(before):
        return False
    if any(now[: len(then)] != then for now, then in zip(tried, before, strict=True)):
        return False
    contacts = tuple(
        replace(each, attempts=then) for each, then in zip(record.contacts, before, strict=True)
    )
    same = replace(record, contacts=contacts, closed=None, finding=stored.finding)
    return same == stored
