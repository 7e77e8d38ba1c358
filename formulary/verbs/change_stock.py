"""Change what the book says a container holds, each change with its reason."""

from __future__ import annotations

from formulary.desk import Desk
from formulary.errors import Refusal
from formulary.ids import new_id
from formulary.messages import message
from formulary.quantity.amount import Amount
from formulary.stock.container import StockContainer, emptied
from formulary.stock.moves import Cause, StockMove, booked, counted
from formulary.stock.shelf import Holding
from formulary.store import Writing
from formulary.verbs.look_up_stock import container_with, holding_of


def count_stock(desk: Desk, container_id: str, found: Amount, reason: str) -> Holding:
    """Bring the book to what was counted or weighed back."""
    with desk.writing("count_stock", reason) as writing:
        held = _held(writing, container_id)
        change = counted(held.on_hand, found)
        return _book(desk, writing, held, (change, Cause.COUNTED), reason)


def correct_stock(desk: Desk, container_id: str, change: Amount, reason: str) -> Holding:
    """Answer an entry that was wrong; below zero it takes away."""
    with desk.writing("correct_stock", reason) as writing:
        held = _held(writing, container_id)
        if (held.on_hand + change).number < 0:
            raise Refusal(message("stock.move.below_nothing", held=held.on_hand))
        return _book(desk, writing, held, (change, Cause.CORRECTED), reason)


def take_sample(desk: Desk, container_id: str, taken: Amount, reason: str) -> Holding:
    """Take an amount for a test or to be retained."""
    with desk.writing("take_sample", reason) as writing:
        held = _held(writing, container_id)
        return _book(desk, writing, held, (taken * -1, Cause.SAMPLED), reason)


def destroy_stock(desk: Desk, container_id: str, reason: str) -> StockContainer:
    """Destroy what is left of a container; its number is never used again."""
    with desk.writing("destroy_stock", reason) as writing:
        held = _held(writing, container_id)
        if held.on_hand.number > 0:
            held = _book(desk, writing, held, (held.on_hand * -1, Cause.DESTROYED), reason)
        elif not reason.strip():
            raise Refusal(message("stock.reason_missing"))
        return writing.put(emptied(held.container, desk.today))


def empty_container(desk: Desk, container_id: str, reason: str) -> StockContainer:
    """Note that a container is used up; what the book still holds is counted away."""
    with desk.writing("empty_container", reason) as writing:
        held = _held(writing, container_id)
        if held.on_hand.number != 0:
            held = _book(desk, writing, held, (held.on_hand * -1, Cause.COUNTED), reason)
        return writing.put(emptied(held.container, desk.today))


def _held(writing: Writing, container_id: str) -> Holding:
    container = container_with(writing, container_id)
    if container.emptied_on is not None:
        day = container.emptied_on
        raise Refusal(message("stock.obstacle.emptied", container=container.number, day=day))
    writing.tell(container=container.number)
    return holding_of(writing, container)


def _book(
    desk: Desk, writing: Writing, held: Holding, change: tuple[Amount, Cause], reason: str
) -> Holding:
    """Keep a change, and beside it a discrepancy where the book held less than was taken."""
    amount, cause = change
    container, person = held.container, desk.person
    # Its id is the earlier one, since it comes before what was taken.
    discrepancy_id = new_id()
    move = StockMove(
        new_id(), container.id, amount, cause, desk.act().at, person.id, person.name, reason
    )
    for each in booked(held.on_hand, move, discrepancy_id):
        writing.put(each)
    return holding_of(writing, container)
