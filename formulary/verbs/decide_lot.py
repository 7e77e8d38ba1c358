"""Let a lot out of quarantine, or reject it: a pharmacist's decision, signed."""

from __future__ import annotations

from formulary.canonical import content_hash
from formulary.desk import Desk
from formulary.signing import Meaning
from formulary.stock.lot import SupplyLot
from formulary.stock.status import accept, reject, require_acceptable
from formulary.verbs.look_up_stock import lot_with
from formulary.verbs.sign_in import signed
from formulary.verbs.stock_as_seen import require_lot_seen


def accept_lot(desk: Desk, lot_id: str, pin: str, *, seen: int | None = None) -> SupplyLot:
    """Accept a lot as its record and certificate stand now.

    Raises :class:`formulary.errors.Refusal` where its certificate is missing or its date is over,
    and :class:`formulary.errors.Conflict` unless ``seen`` is its revision.
    """
    desk.may("accept_lot")
    lot = lot_with(desk.store, lot_id)
    require_lot_seen(desk.store, lot, seen)
    signature = signed(desk, pin, Meaning.ACCEPTED, content_hash(lot))
    accepted = accept(lot, signature)
    with desk.writing("accept_lot") as writing:
        writing.tell(lot=lot.number)
        return writing.put(accepted)


def look_acceptable(desk: Desk, lot_id: str) -> None:
    """Raise as :func:`accept_lot` would, before anybody signs."""
    desk.may("accept_lot")
    require_acceptable(lot_with(desk.store, lot_id), desk.today)


def reject_lot(
    desk: Desk, lot_id: str, pin: str, reason: str, *, seen: int | None = None
) -> SupplyLot:
    """Reject a lot for good; an accepted one, too. ``seen`` is as of :func:`accept_lot`."""
    desk.may("reject_lot")
    lot = lot_with(desk.store, lot_id)
    require_lot_seen(desk.store, lot, seen)
    signature = signed(desk, pin, Meaning.REJECTED, content_hash(lot))
    rejected = reject(lot, signature, reason)
    with desk.writing("reject_lot", reason) as writing:
        writing.tell(lot=lot.number)
        return writing.put(rejected)
