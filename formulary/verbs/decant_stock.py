"""Move stock into a new container of its own number; never back, never onto a remnant."""

from __future__ import annotations

from formulary.desk import Desk
from formulary.errors import Refusal
from formulary.ids import new_id
from formulary.messages import message
from formulary.quantity.amount import Amount
from formulary.stock.container import StockContainer, obstacle
from formulary.stock.decanting import decanted, transfer
from formulary.stock.moves import Cause, StockMove
from formulary.stock.numbers import container_number
from formulary.stock.shelf import Holding
from formulary.verbs.book_move import signatures_for
from formulary.verbs.look_up_stock import container_with, holding_of
from formulary.verbs.stock_as_seen import require_holding_seen
from formulary.verbs.two_people import UNSIGNED, Signing, bound


def decant_stock(
    desk: Desk,
    container_id: str,
    amount: Amount,
    place: str = "",
    signing: Signing = UNSIGNED,
    *,
    seen: Holding | None = None,
) -> StockContainer:
    """Fill an amount into a new container, which keeps lot, identity and the clock since opening.

    Raises :class:`formulary.errors.Refusal` for more than the book holds, and from a container
    that nothing may be weighed from; and :class:`formulary.errors.Conflict` where it isn't as it
    was ``seen``.
    """
    signatures = signatures_for(desk, "decant_stock", container_id, signing)
    act, person = desk.act(), desk.person
    with desk.writing("decant_stock") as writing:
        known = holding_of(writing, container_with(writing, container_id))
        require_holding_seen(writing, known, seen)
        source, held = known.container, known.on_hand
        said = obstacle(source, known.lot, desk.today)
        if said is not None:
            raise Refusal(said)
        if amount.number <= 0 or (held - amount).number < 0:
            raise Refusal(message("stock.decant.amount", held=held, source=source.number))
        number = container_number(writing.allot_containers(1))
        new = StockContainer(new_id(), number, source.lot_id, amount, place or source.place)
        target = writing.put(decanted(source, new, ()))
        out = StockMove(
            new_id(),
            source.id,
            amount * -1,
            Cause.TRANSFERRED,
            act.at,
            person.id,
            person.name,
            signatures=signatures,
        )
        for move in transfer(source, target, out, new_id()):
            writing.put(bound(move))
        writing.tell(source=source.number, target=target.number)
        return target
