"""Nobody decides on stock by what it no longer is: what changed since it was looked at, and who."""

from __future__ import annotations

from formulary.errors import Conflict
from formulary.messages import Message, message
from formulary.stock.container import StockContainer
from formulary.stock.counting import CountedGood
from formulary.stock.lot import SupplyLot
from formulary.stock.moves import StockMove
from formulary.stock.shelf import Holding, Level
from formulary.store import Reading, Record


def require_lot_seen(store: Reading, lot: SupplyLot, seen: int | None) -> None:
    """Refuse to go on with a lot of another revision than was ``seen``; None sees all.

    Raises :class:`formulary.errors.Conflict`, saying who changed it, when, and by what.
    """
    if seen is not None and seen != lot.revision:
        raise Conflict(_changed(store, message("store.named.supply_lot", number=lot.number), lot))


def require_holding_seen(store: Reading, held: Holding, seen: Holding | None) -> None:
    """Refuse to go on with a container that isn't what was ``seen``: it, its lot, and its book.

    Raises :class:`formulary.errors.Conflict` as :func:`require_lot_seen` does.
    """
    if seen is None or seen == held:
        return
    if seen.lot != held.lot:
        require_lot_seen(store, held.lot, seen.lot.revision)
    name = message("store.named.stock_container", number=held.container.number)
    raise Conflict(_changed(store, name, _changed_record(store, held, seen)))


def require_goods_seen(store: Reading, good: CountedGood, left: int, seen: int | None) -> None:
    """Refuse to go on with goods of which not as many pieces are ``left`` as were ``seen``.

    Raises :class:`formulary.errors.Conflict` as :func:`require_lot_seen` does.
    """
    if seen is None or seen == left:
        return
    name = message("store.named.counted_good", name=good.name)
    moves = store.having(StockMove, container_id=good.id)
    raise Conflict(_changed(store, name, max(moves, key=lambda each: (each.at, each.id))))


def require_level_seen(store: Reading, level: Level, seen: int | None) -> None:
    """Refuse to put another least amount in place of one that wasn't ``seen``, by its revision.

    Raises :class:`formulary.errors.Conflict` as :func:`require_lot_seen` does.
    """
    if seen is not None and seen != level.revision:
        raise Conflict(_changed(store, message("store.named.level"), level))


def _changed_record(store: Reading, held: Holding, seen: Holding) -> StockContainer | StockMove:
    """Return what changed last: the container itself, or what its book had entered."""
    if seen.container != held.container:
        return held.container
    moves = store.having(StockMove, container_id=held.container.id)
    return max(moves, key=lambda each: (each.at, each.id))


def _changed(store: Reading, name: Message, record: Record) -> Message:
    entry = store.last_change(type(record), record.id)
    if entry is None:
        return message("stock.changed", what=name)
    return message(
        "stock.changed_by",
        what=name,
        by=entry.act.person,
        at=entry.act.at,
        act=message(f"roles.verb.{entry.verb}"),
    )
