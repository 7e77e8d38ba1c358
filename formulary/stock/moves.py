"""What goes into a container and out of it; what the book says is the sum of the moves.

A move is never changed or taken back: a wrong one is answered by a correction with its reason.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from enum import StrEnum
from fractions import Fraction

from formulary.errors import Refusal, UnitMismatch
from formulary.messages import message
from formulary.quantity.amount import Amount
from formulary.quantity.density import Density, mass_of, volume_of
from formulary.quantity.units import MASS, VOLUME, dimension
from formulary.signing import Signature


class Cause(StrEnum):
    """Why the content of a container changes."""

    RECEIVED = "received"
    WEIGHED = "weighed"
    WASTED = "wasted"
    SAMPLED = "sampled"
    DESTROYED = "destroyed"
    TRANSFERRED = "transferred"
    COUNTED = "counted"
    CORRECTED = "corrected"
    DISCREPANCY = "discrepancy"


_FALLS = frozenset({Cause.WEIGHED, Cause.WASTED, Cause.SAMPLED, Cause.DESTROYED})
_RISES = frozenset({Cause.RECEIVED, Cause.DISCREPANCY})
_NEEDS_REASON = frozenset({Cause.WASTED, Cause.DESTROYED, Cause.COUNTED, Cause.CORRECTED})


@dataclass(frozen=True, slots=True)
class StockMove:
    """One change of a container's content; ``amount`` is below zero where it falls.

    ``preparation_lot`` is what it was weighed for. ``signatures`` are those of a controlled
    substance. Raises :class:`formulary.errors.Refusal` for a reason that is missing or an amount
    that goes the wrong way.
    """

    id: str
    container_id: str
    amount: Amount
    cause: Cause
    at: datetime
    person_id: str
    person: str
    reason: str = ""
    preparation_lot: str = ""
    signatures: tuple[Signature, ...] = ()
    revision: int = 0

    def __post_init__(self) -> None:
        if self.at.tzinfo is None:
            raise ValueError("a move's time needs its offset")
        if self.cause in _NEEDS_REASON and not self.reason.strip():
            raise Refusal(message("stock.reason_missing"))
        falls, rises = self.amount.number < 0, self.amount.number > 0
        if (self.cause in _FALLS and not falls) or (self.cause in _RISES and not rises):
            cause = message(f"stock.cause.{self.cause.value}")
            raise Refusal(message("stock.move.wrong_way", cause=cause, amount=self.amount))


@dataclass(frozen=True, slots=True)
class Book:
    """What the moves say is there. ``apart`` couldn't be converted to its unit and isn't in it."""

    on_hand: Amount
    apart: tuple[Amount, ...] = ()


def book(moves: Iterable[StockMove], unit: str, density: Density | None = None) -> Book:
    """Return what the moves of one container leave in it, in the unit that it is held in."""
    total = Fraction(0)
    apart: list[Amount] = []
    for move in moves:
        held = held_as(move.amount, unit, density)
        if held is None:
            apart.append(move.amount)
        else:
            total += held.number
    return Book(Amount(total, unit), tuple(apart))


def held_as(amount: Amount, unit: str, density: Density | None) -> Amount | None:
    """Return an amount in the unit of its container, or None where no density leads there."""
    have, want = dimension(amount.unit), dimension(unit)
    if density is not None and (have, want) == (VOLUME, MASS):
        return mass_of(amount, density).to(unit)
    if density is not None and (have, want) == (MASS, VOLUME):
        return volume_of(amount, density).to(unit)
    try:
        return amount.to(unit)
    except UnitMismatch:
        return None


def booked(
    before: Amount, move: StockMove, discrepancy_id: str, density: Density | None = None
) -> tuple[StockMove, ...]:
    """Return the moves to keep for one: itself, and a discrepancy where the book held less.

    ``before`` is the book's amount. What was taken was there, so the book was wrong by as much
    as it would fall below zero. This never refuses: the bench goes on.
    """
    held = held_as(move.amount, before.unit, density)
    if held is None or (before + held).number >= 0:
        return (move,)
    short = before + held
    more = replace(
        move, id=discrepancy_id, amount=short * -1, cause=Cause.DISCREPANCY, signatures=()
    )
    return (more, move)


def counted(before: Amount, found: Amount) -> Amount:
    """Return the amount of the move that brings the book to what was found."""
    if found.number < 0:
        raise Refusal(message("stock.move.below_zero", amount=found))
    return found.to(before.unit) - before


def controlled(before: Amount, move: StockMove, density: Density | None = None) -> StockMove:
    """Return a move of a controlled substance if it may be kept.

    Raises :class:`formulary.errors.Refusal` where the book would fall below zero or can't tell,
    and without the signatures of two people; one who works alone says why in the signature.
    """
    held = held_as(move.amount, before.unit, density)
    if held is None:
        raise Refusal(message("stock.move.cant_tell", held=before, taken=move.amount * -1))
    if (before + held).number < 0:
        raise Refusal(message("stock.move.more_than_held", held=before, taken=move.amount * -1))
    signers = {each.person_id for each in move.signatures}
    alone = any(each.alone_because for each in move.signatures)
    if not signers or (len(signers) == 1 and not alone):
        raise Refusal(message("stock.move.two_signatures"))
    return move


def running_balance(
    moves: Sequence[StockMove], unit: str, density: Density | None = None
) -> tuple[tuple[StockMove, Amount], ...]:
    """Return each move, in the order of booking, with what the book said after it."""
    after = Amount(Fraction(0), unit)
    lines = []
    for move in moves:
        held = held_as(move.amount, unit, density)
        after = after if held is None else after + held
        lines.append((move, after))
    return tuple(lines)


def discrepancies(moves: Iterable[StockMove]) -> tuple[StockMove, ...]:
    """Return what was found to differ from the book: more weighed than held, or miscounted."""
    return tuple(
        move
        for move in moves
        if move.cause is Cause.DISCREPANCY
        or (move.cause is Cause.COUNTED and move.amount.number != 0)
    )
