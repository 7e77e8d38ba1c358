"""Fill in what a receipt left out of a lot's record, or put it right, until it is decided upon."""

from __future__ import annotations

from dataclasses import replace

from formulary.desk import Desk
from formulary.errors import BadText
from formulary.messages import message
from formulary.stock.lot import SupplyLot
from formulary.verbs.look_up_stock import lot_with
from formulary.verbs.stock_as_seen import require_lot_seen


def complete_lot(
    desk: Desk, lot_id: str, maker: str, grade: str, *, seen: int | None = None
) -> SupplyLot:
    """Keep maker and grade as container or certificate say them; an empty text leaves one as it is.

    Raises :class:`formulary.errors.BadText` where neither is given,
    :class:`formulary.errors.Conflict` unless ``seen`` is the lot's revision, and
    :class:`formulary.errors.Forbidden` once it has been decided upon.
    """
    if not (maker.strip() or grade.strip()):
        raise BadText(message("verbs.nothing_to_complete"), field="maker")
    with desk.writing("complete_lot") as writing:
        lot = lot_with(writing, lot_id)
        require_lot_seen(writing, lot, seen)
        writing.tell(lot=lot.number)
        known = replace(lot, maker=maker.strip() or lot.maker, grade=grade.strip() or lot.grade)
        return writing.put(known)
