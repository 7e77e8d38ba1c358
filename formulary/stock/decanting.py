"""Moving stock to another container: into a new one only, never back, never two remnants in one."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from formulary.errors import Refusal
from formulary.messages import message
from formulary.stock.container import StockContainer
from formulary.stock.moves import Cause, StockMove


def decanted(
    source: StockContainer, target: StockContainer, moves_of_target: Iterable[StockMove]
) -> StockContainer:
    """Return the target as filled from the source: same lot, identity and clock since opening.

    Raises :class:`formulary.errors.Refusal` unless the target is new and empty.
    """
    said = {"source": source.number, "target": target.number}
    if target.number in (source.number, source.filled_from):
        raise Refusal(message("stock.decant.back", **said))
    if target.emptied_on is not None or any(True for _ in moves_of_target):
        raise Refusal(message("stock.decant.not_empty", **said))
    if target.lot_id != source.lot_id:
        raise Refusal(message("stock.decant.other_lot", **said))
    return replace(
        target,
        identity=source.identity,
        in_use=source.in_use,
        opened_on=source.opened_on,
        filled_from=source.number,
    )


def transfer(
    source: StockContainer, target: StockContainer, out: StockMove, arriving_id: str
) -> tuple[StockMove, StockMove]:
    """Return the two halves of a transfer; ``out`` is what leaves the source."""
    leaves = out.cause is Cause.TRANSFERRED and out.amount.number < 0
    if not leaves or out.container_id != source.id:
        raise ValueError("a transfer starts with what leaves its source")
    arriving = replace(out, id=arriving_id, container_id=target.id, amount=out.amount * -1)
    return out, arriving
