"""Book what goes into a container or out of it; of a controlled substance under two signatures."""

from __future__ import annotations

from dataclasses import dataclass, replace

from formulary.desk import Desk
from formulary.ids import new_id
from formulary.ingredient import Ingredient
from formulary.quantity.amount import Amount
from formulary.signing import Signature
from formulary.stock.lot import SupplyLot
from formulary.stock.moves import Cause, StockMove, booked, controlled
from formulary.stock.shelf import Holding
from formulary.store import Reading, Writing
from formulary.verbs.look_up_stock import container_with, holding_of, lot_with
from formulary.verbs.two_people import Signing, both_sign, bound


def signatures_for(
    desk: Desk, verb: str, container_id: str, signing: Signing
) -> tuple[Signature, ...]:
    """Return both signatures where the container holds a controlled substance, else none.

    They are asked for before the transaction begins, since a wrong PIN is an act of its own. On the
    shelf nobody works alone: a count can wait for the second person. Raises as
    :func:`formulary.verbs.two_people.both_sign` does.
    """
    desk.may(verb)
    lot = lot_with(desk.store, container_with(desk.store, container_id).lot_id)
    if not is_controlled(desk.store, lot):
        return ()
    return both_sign(desk, replace(signing, alone_because=""))


def is_controlled(store: Reading, lot: SupplyLot) -> bool:
    """Tell whether a lot is of a controlled substance."""
    ingredient = store.get(Ingredient, lot.ingredient_id)
    return ingredient is not None and ingredient.controlled


@dataclass(frozen=True, slots=True)
class Change:
    """What is to be booked: below zero it goes out. ``signatures`` are a controlled substance's."""

    amount: Amount
    cause: Cause
    reason: str = ""
    preparation_lot: str = ""
    signatures: tuple[Signature, ...] = ()


def book_move(desk: Desk, writing: Writing, held: Holding, change: Change) -> Holding:
    """Keep a change, beside it a discrepancy where the book held less than was taken.

    Of a controlled substance nothing more is taken than the book holds, and two people sign. Raises
    :class:`formulary.errors.Refusal` as :func:`formulary.stock.moves.controlled` does.
    """
    ingredient = writing.get(Ingredient, held.lot.ingredient_id)
    density = ingredient.density if ingredient is not None else None
    # Its id is the earlier one, since a discrepancy comes before what was taken.
    discrepancy_id = new_id()
    move = _move(desk, held, change)
    if ingredient is not None and ingredient.controlled:
        moves: tuple[StockMove, ...] = (controlled(held.on_hand, move, density),)
    else:
        moves = booked(held.on_hand, move, discrepancy_id, density)
    for each in moves:
        writing.put(bound(each))
    return holding_of(writing, held.container)


def _move(desk: Desk, held: Holding, change: Change) -> StockMove:
    return StockMove(
        id=new_id(),
        container_id=held.container.id,
        amount=change.amount,
        cause=change.cause,
        at=desk.act().at,
        person_id=desk.person.id,
        person=desk.person.name,
        reason=change.reason,
        preparation_lot=change.preparation_lot,
        signatures=change.signatures,
    )
