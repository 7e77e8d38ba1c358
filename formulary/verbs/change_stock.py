"""Change what the book says a container holds, each change with its reason.

Of a controlled substance each is signed by two people; see :mod:`formulary.verbs.book_move`. Where
what was ``seen`` isn't so any more, :class:`formulary.errors.Conflict` says who changed it.
"""

from __future__ import annotations

from formulary.desk import Desk
from formulary.errors import Refusal
from formulary.messages import message
from formulary.quantity.amount import Amount
from formulary.stock.container import StockContainer, emptied
from formulary.stock.moves import Cause, counted
from formulary.stock.shelf import Holding
from formulary.store import Writing
from formulary.verbs.book_move import Change, book_move, signatures_for
from formulary.verbs.look_up_stock import container_with, holding_of
from formulary.verbs.stock_as_seen import require_holding_seen
from formulary.verbs.two_people import UNSIGNED, Signing


def count_stock(
    desk: Desk,
    container_id: str,
    found: Amount,
    reason: str,
    signing: Signing = UNSIGNED,
    *,
    seen: Holding | None = None,
) -> Holding:
    """Bring the book to what was counted or weighed back."""
    signed = signatures_for(desk, "count_stock", container_id, signing)
    with desk.writing("count_stock", reason) as writing:
        held = _held(writing, container_id, seen)
        change = Change(counted(held.on_hand, found), Cause.COUNTED, reason, signatures=signed)
        return book_move(desk, writing, held, change)


def correct_stock(
    desk: Desk,
    container_id: str,
    change: Amount,
    reason: str,
    signing: Signing = UNSIGNED,
    *,
    seen: Holding | None = None,
) -> Holding:
    """Answer an entry that was wrong; below zero it takes away."""
    signed = signatures_for(desk, "correct_stock", container_id, signing)
    with desk.writing("correct_stock", reason) as writing:
        held = _held(writing, container_id, seen)
        if (held.on_hand + change).number < 0:
            raise Refusal(message("stock.move.below_nothing", held=held.on_hand))
        corrected = Change(change, Cause.CORRECTED, reason, signatures=signed)
        return book_move(desk, writing, held, corrected)


def waste_stock(
    desk: Desk,
    container_id: str,
    wasted: Amount,
    reason: str,
    signing: Signing = UNSIGNED,
    *,
    seen: Holding | None = None,
) -> Holding:
    """Take away what was spilled or thrown away of a container that stays in use."""
    signed = signatures_for(desk, "waste_stock", container_id, signing)
    with desk.writing("waste_stock", reason) as writing:
        held = _held(writing, container_id, seen)
        change = Change(wasted * -1, Cause.WASTED, reason, signatures=signed)
        return book_move(desk, writing, held, change)


def take_sample(
    desk: Desk,
    container_id: str,
    taken: Amount,
    reason: str,
    signing: Signing = UNSIGNED,
    *,
    seen: Holding | None = None,
) -> Holding:
    """Take an amount for a test or to be retained."""
    signed = signatures_for(desk, "take_sample", container_id, signing)
    with desk.writing("take_sample", reason) as writing:
        held = _held(writing, container_id, seen)
        change = Change(taken * -1, Cause.SAMPLED, reason, signatures=signed)
        return book_move(desk, writing, held, change)


def destroy_stock(
    desk: Desk,
    container_id: str,
    reason: str,
    signing: Signing = UNSIGNED,
    *,
    seen: Holding | None = None,
) -> StockContainer:
    """Destroy what is left of a container; its number is never used again."""
    signed = signatures_for(desk, "destroy_stock", container_id, signing)
    with desk.writing("destroy_stock", reason) as writing:
        held = _held(writing, container_id, seen)
        if held.on_hand.number > 0:
            change = Change(held.on_hand * -1, Cause.DESTROYED, reason, signatures=signed)
            held = book_move(desk, writing, held, change)
        elif not reason.strip():
            raise Refusal(message("stock.reason_missing"))
        return writing.put(emptied(held.container, desk.today))


def empty_container(
    desk: Desk,
    container_id: str,
    reason: str,
    signing: Signing = UNSIGNED,
    *,
    seen: Holding | None = None,
) -> StockContainer:
    """Note that a container is used up; what the book still holds is counted away."""
    signed = signatures_for(desk, "empty_container", container_id, signing)
    with desk.writing("empty_container", reason) as writing:
        held = _held(writing, container_id, seen)
        if held.on_hand.number != 0:
            change = Change(held.on_hand * -1, Cause.COUNTED, reason, signatures=signed)
            held = book_move(desk, writing, held, change)
        return writing.put(emptied(held.container, desk.today))


def _held(writing: Writing, container_id: str, seen: Holding | None) -> Holding:
    container = container_with(writing, container_id)
    if container.emptied_on is not None:
        day = container.emptied_on
        raise Refusal(message("stock.obstacle.emptied", container=container.number, day=day))
    held = holding_of(writing, container)
    require_holding_seen(writing, held, seen)
    writing.tell(container=container.number)
    return held
