"""The register of a controlled substance: what came in and went out, what is left, who signed.

Kept for the ingredient as a whole and for each container; what was found to differ is marked.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from fractions import Fraction

from formulary.quantity.amount import Amount
from formulary.quantity.density import Density
from formulary.stock.moves import Cause, StockMove, held_as
from formulary.stock.shelf import Holding


@dataclass(frozen=True, slots=True)
class Entry:
    """One line: what came ``into`` the house or went ``out``, and the balance after it.

    ``of_container`` is what the container then held. What moved between two containers changes no
    balance of the ingredient. ``people`` signed it; of what was booked before it was controlled,
    whoever booked it. ``differs`` where a count didn't find what the book said.
    """

    at: datetime
    cause: Cause
    container: str
    lot: str
    into: Amount | None
    out: Amount | None
    balance: Amount
    of_container: Amount
    people: tuple[str, ...]
    alone_because: str
    what_for: str
    differs: bool


def entries_of(
    holdings: Iterable[Holding],
    moves: Mapping[str, Sequence[StockMove]],
    unit: str,
    density: Density | None = None,
) -> tuple[Entry, ...]:
    """Return the register of one ingredient's containers, oldest first.

    ``moves`` are those of each container by its id. A move that no density leads into ``unit``
    stands in its own unit and changes no balance.
    """
    known = {each.container.id: each for each in holdings}
    every = sorted((move for of_one in moves.values() for move in of_one), key=_booked)
    balance = Amount(Fraction(0), unit)
    of_each = dict.fromkeys(known, balance)
    entries = []
    for move in every:
        held = held_as(move.amount, unit, density)
        if held is not None:
            balance += held
            of_each[move.container_id] += held
        holding = known[move.container_id]
        entries.append(_entry(move, holding, held or move.amount, balance, of_each))
    return tuple(entries)


def _booked(move: StockMove) -> tuple[datetime, str]:
    return move.at, move.id


def _entry(
    move: StockMove,
    holding: Holding,
    amount: Amount,
    balance: Amount,
    of_each: Mapping[str, Amount],
) -> Entry:
    falls = amount.number < 0
    signed = tuple(each.person for each in move.signatures)
    return Entry(
        at=move.at,
        cause=move.cause,
        container=holding.container.number,
        lot=holding.lot.number,
        into=None if falls or not amount.number else amount,
        out=amount * -1 if falls else None,
        balance=balance,
        of_container=of_each[move.container_id],
        people=signed or (move.person,),
        alone_because=next((e.alone_because for e in move.signatures if e.alone_because), ""),
        what_for=move.preparation_lot or move.reason,
        differs=move.cause is Cause.DISCREPANCY
        or (move.cause is Cause.COUNTED and bool(amount.number)),
    )
