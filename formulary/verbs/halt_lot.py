"""Freeze a lot while something is looked into, and lift that again."""

from __future__ import annotations

from formulary.canonical import content_hash
from formulary.desk import Desk
from formulary.errors import Refusal
from formulary.messages import message
from formulary.signing import Meaning
from formulary.stock.lot import Halt, SupplyLot
from formulary.stock.status import halt, lift
from formulary.verbs.look_up_stock import lot_with
from formulary.verbs.sign_in import signed
from formulary.verbs.stock_as_seen import require_lot_seen


def freeze_lot(
    desk: Desk, lot_id: str, pin: str, reason: str, *, seen: int | None = None
) -> SupplyLot:
    """Stop all use of a lot; whoever works at the bench may.

    Raises :class:`formulary.errors.Conflict` unless ``seen`` is its revision.
    """
    desk.may("freeze_lot")
    lot = lot_with(desk.store, lot_id)
    require_lot_seen(desk.store, lot, seen)
    signature = signed(desk, pin, Meaning.DECIDED, content_hash(lot))
    frozen = halt(lot, Halt.FROZEN, signature, reason)
    with desk.writing("freeze_lot", reason) as writing:
        writing.tell(lot=lot.number)
        return writing.put(frozen)


def lift_halt(
    desk: Desk, lot_id: str, pin: str, reason: str, *, seen: int | None = None
) -> SupplyLot:
    """Let a lot be used again as its status allows; a pharmacist's decision.

    Raises :class:`formulary.errors.Conflict` unless ``seen`` is its revision.
    """
    desk.may("lift_halt")
    if not reason.strip():
        raise Refusal(message("stock.reason_missing"))
    lot = lot_with(desk.store, lot_id)
    require_lot_seen(desk.store, lot, seen)
    lifted = lift(lot, signed(desk, pin, Meaning.DECIDED, content_hash(lot)))
    with desk.writing("lift_halt", reason) as writing:
        writing.tell(lot=lot.number)
        return writing.put(lifted)
