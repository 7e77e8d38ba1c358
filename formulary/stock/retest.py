"""A solid that is tested again and keeps its quality gets another date, where rules allow it."""

from __future__ import annotations

from collections.abc import Container
from dataclasses import replace
from datetime import date

from formulary.errors import BadText, Refusal
from formulary.ingredient import Matter
from formulary.messages import message
from formulary.signing import Signature
from formulary.stock.expiry import Expiry
from formulary.stock.lot import Retest, Source, Status, SupplyLot

SOLID: Container[Matter] = frozenset({Matter.POWDER, Matter.CRYSTALS})


def may_be_retested(lot: SupplyLot) -> bool:
    """Tell whether a lot stands so that a retest may date it anew."""
    sound = lot.status is Status.ACCEPTED and lot.stop is None
    return sound and lot.source is Source.SUBSTANCE


def retested(
    lot: SupplyLot, matter: Matter | None, until: date, result: str, by: Signature
) -> SupplyLot:
    """Return the lot with its new last day; what it was and what was found stay beside it.

    Raises :class:`formulary.errors.Refusal` for anything but an accepted solid substance that
    nothing stops, :class:`formulary.errors.BadText` without a finding and for a day that isn't
    later than today and than the date it has.
    """
    if lot.source is not Source.SUBSTANCE or matter not in SOLID:
        raise Refusal(message("stock.retest.solids", lot=lot.number))
    if not may_be_retested(lot):
        raise Refusal(message("stock.retest.not_accepted", lot=lot.number))
    if not result.strip():
        raise BadText(message("stock.retest.no_result"), field="found_again")
    if until <= max(lot.expiry.last_day, by.at.date()):
        said = message("stock.retest.no_later", lot=lot.number, day=lot.expiry.last_day)
        raise BadText(said, field="until")
    again = Retest(lot.expiry, result.strip(), by)
    new = Expiry(until, assigned_by=by.person)
    return replace(lot, expiry=new, retests=(*lot.retests, again))
