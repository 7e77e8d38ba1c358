"""The gate between delivery and bench: quarantine, the decision, and a stop with its lifting.

Who may sign what stands in the table of roles; here is what a decision needs and where it leads.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date

from formulary.errors import Refusal
from formulary.messages import message
from formulary.signing import Meaning, Signature
from formulary.stock.lot import Halt, Source, Status, Stop, SupplyLot

NEEDS_CERTIFICATE = frozenset({Source.SUBSTANCE, Source.CONCENTRATE, Source.BASE})
"""A licensed medicine stands for itself, and an intermediate for its own record."""


def accept(lot: SupplyLot, signature: Signature) -> SupplyLot:
    """Return the lot let out of quarantine.

    Raises :class:`formulary.errors.Refusal` out of any other status, and as
    :func:`require_acceptable`.
    """
    _require(lot, signature, Meaning.ACCEPTED, (Status.QUARANTINE,))
    require_acceptable(lot, signature.at.date())
    return replace(lot, status=Status.ACCEPTED, decision=signature)


def require_acceptable(lot: SupplyLot, day: date) -> None:
    """Raise Refusal for a lot that is stopped, expired or without the certificate it needs."""
    if lot.stop is not None:
        halt = message(f"stock.halt.{lot.stop.halt.value}")
        raise Refusal(message("stock.status.stopped", lot=lot.number, halt=halt))
    if lot.source in NEEDS_CERTIFICATE and lot.attachment is None:
        raise Refusal(message("stock.status.no_certificate", lot=lot.number))
    if lot.expiry.is_over(day):
        end = lot.expiry.last_day
        raise Refusal(message("stock.obstacle.expired", lot=lot.number, end=end))


def reject(lot: SupplyLot, signature: Signature, reason: str) -> SupplyLot:
    """Return the lot rejected for good; an accepted lot may still be, never the other way."""
    _require(lot, signature, Meaning.REJECTED, (Status.QUARANTINE, Status.ACCEPTED))
    _require_reason(reason)
    return replace(lot, status=Status.REJECTED, decision=signature, decision_reason=reason)


def halt(lot: SupplyLot, why: Halt, signature: Signature, reason: str) -> SupplyLot:
    """Return the lot stopped. A recall replaces a freeze, a freeze never a recall."""
    _require_meaning(signature, Meaning.DECIDED)
    _require_reason(reason)
    if lot.stop is not None and lot.stop.halt is Halt.RECALLED:
        return lot
    return replace(lot, stop=Stop(why, reason, signature))


def lift(lot: SupplyLot, signature: Signature) -> SupplyLot:
    """Return the lot without its stop; whoever keeps the act keeps its reason beside it."""
    _require_meaning(signature, Meaning.DECIDED)
    if lot.stop is None:
        raise Refusal(message("stock.status.not_stopped", lot=lot.number))
    return replace(lot, stop=None)


def _require(
    lot: SupplyLot, signature: Signature, meaning: Meaning, allowed: tuple[Status, ...]
) -> None:
    _require_meaning(signature, meaning)
    if lot.status not in allowed:
        status = message(f"stock.status_name.{lot.status.value}")
        raise Refusal(message("stock.status.decided", lot=lot.number, status=status))


def _require_meaning(signature: Signature, meaning: Meaning) -> None:
    if signature.meaning is not meaning:
        raise ValueError(f"a signature that means {signature.meaning.value!r} can't do this")


def _require_reason(reason: str) -> None:
    if not reason.strip():
        raise Refusal(message("stock.reason_missing"))
