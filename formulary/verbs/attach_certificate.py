"""Attach a certificate's file to a lot in quarantine; whoever decides on the lot reads it."""

from __future__ import annotations

from dataclasses import replace

from formulary.desk import Desk
from formulary.errors import NotFound
from formulary.messages import message
from formulary.stock.certificate_file import file_name, media_type
from formulary.stock.lot import Attachment, SupplyLot
from formulary.store import Reading
from formulary.verbs.look_up_stock import lot_with
from formulary.verbs.stock_as_seen import require_lot_seen


def attach_certificate(
    desk: Desk, lot_id: str, name: str, data: bytes, *, seen: int | None = None
) -> SupplyLot:
    """Keep the file and name it in the lot's record, with its hash.

    Raises :class:`formulary.errors.Refusal` for a file that is no PDF and no picture,
    :class:`formulary.errors.Conflict` unless ``seen`` is the lot's revision, and
    :class:`formulary.errors.Forbidden` once it has been decided upon.
    """
    kind = media_type(data)
    with desk.writing("attach_certificate") as writing:
        lot = lot_with(writing, lot_id)
        require_lot_seen(writing, lot, seen)
        writing.tell(lot=lot.number)
        attachment = Attachment(file_name(name), writing.keep_file(data), kind)
        return writing.put(replace(lot, attachment=attachment))


def certificate_file(store: Reading, lot: SupplyLot) -> bytes:
    """Return a lot's certificate as it was attached.

    Raises :class:`formulary.errors.NotFound` where none is.
    """
    data = store.file(lot.attachment.sha256) if lot.attachment is not None else None
    if data is None:
        raise NotFound(message("stock.look_up.no_certificate", lot=lot.number))
    return data
