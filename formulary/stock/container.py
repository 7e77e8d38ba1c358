"""One container of a lot: its own number, identity check, opening, and whether it may be used."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date

from formulary.errors import Refusal
from formulary.finding import Finding, Severity
from formulary.formula.content import Period
from formulary.messages import Message, message
from formulary.quantity.amount import Amount
from formulary.signing import Meaning, Signature
from formulary.stock.expiry import usable_until
from formulary.stock.lot import Source, Status, SupplyLot
from formulary.stock.matching import Wanted, mismatch
from formulary.working import Working


@dataclass(frozen=True, slots=True)
class IdentityCheck:
    """A container's content identified in this pharmacy: how, with which result, by whom."""

    method: str
    passed: bool
    signature: Signature


@dataclass(frozen=True, slots=True)
class StockContainer:
    """A container with its own number; what is in it follows from its moves.

    ``in_use`` is how long it lasts once opened; ``filled_from`` the container's number it was
    decanted from, if any. Times are the house's calendar days.
    """

    id: str
    number: str
    lot_id: str
    size: Amount
    place: str = ""
    identity: IdentityCheck | None = None
    in_use: Period | None = None
    opened_on: date | None = None
    emptied_on: date | None = None
    filled_from: str = ""
    revision: int = 0


def identify(container: StockContainer, check: IdentityCheck) -> StockContainer:
    """Return the container with its identity check; a failed one stays, whatever is tried next."""
    if check.signature.meaning is not Meaning.IDENTIFIED:
        raise ValueError("an identity check is signed as such")
    if container.identity is not None and not container.identity.passed:
        raise Refusal(message("stock.obstacle.wrong_identity", container=container.number))
    return replace(container, identity=check)


def opened(container: StockContainer, day: date) -> StockContainer:
    """Return the container as opened on its first weighing; later ones change nothing."""
    return container if container.opened_on is not None else replace(container, opened_on=day)


def emptied(container: StockContainer, day: date) -> StockContainer:
    """Return the container as empty; its number is never used again."""
    return replace(container, emptied_on=day)


def lasts_until(container: StockContainer, lot: SupplyLot) -> Working[date]:
    """Return the last day on which the container may be weighed from."""
    return usable_until(lot.expiry, container.opened_on, container.in_use)


def obstacle(container: StockContainer, lot: SupplyLot, today: date) -> Message | None:
    """Return why nothing may be weighed from the container today, or None if it may."""
    return _of_lot(lot, today) or _of_container(container, lot, today)


def _of_lot(lot: SupplyLot, today: date) -> Message | None:
    if lot.stop is not None:
        said = f"stock.obstacle.{lot.stop.halt.value}"
        return message(said, lot=lot.number, reason=lot.stop.reason)
    if lot.status is not Status.ACCEPTED:
        return message(f"stock.obstacle.{lot.status.value}", lot=lot.number)
    if lot.expiry.is_over(today):
        return message("stock.obstacle.expired", lot=lot.number, end=lot.expiry.last_day)
    return None


def is_identified(container: StockContainer, lot: SupplyLot) -> bool:
    """Tell whether its content passed its check; for what was made here its release stands."""
    if container.identity is None:
        return lot.source is Source.INTERMEDIATE
    return container.identity.passed


def _of_container(container: StockContainer, lot: SupplyLot, today: date) -> Message | None:
    number, end = container.number, lasts_until(container, lot).result
    if container.emptied_on is not None:
        return message("stock.obstacle.emptied", container=number, day=container.emptied_on)
    if container.identity is not None and not container.identity.passed:
        return message("stock.obstacle.wrong_identity", container=number)
    if not is_identified(container, lot):
        return message("stock.obstacle.not_identified", container=number)
    if today > end:
        return message("stock.obstacle.open_too_long", container=number, end=end)
    return None


def require_weighable(
    container: StockContainer, lot: SupplyLot, wanted: Wanted, today: date, holds: str = ""
) -> None:
    """Raise :class:`formulary.errors.Refusal` unless the line may be weighed from it today.

    ``holds`` is the name of what the lot is of.
    """
    if lot.id != container.lot_id:
        raise ValueError("the lot isn't the container's")
    said = mismatch(lot, wanted, holds) or obstacle(container, lot, today)
    if said is not None:
        raise Refusal(said)


def second_opened(
    container: StockContainer, others: tuple[StockContainer, ...]
) -> tuple[Finding, ...]:
    """Return a note where a container is opened while another of the ingredient is in use."""
    if container.opened_on is not None:
        return ()
    in_use = tuple(
        other.number
        for other in others
        if other.id != container.id and other.opened_on is not None and other.emptied_on is None
    )
    if not in_use:
        return ()
    said = message("stock.finding.second_opened", container=container.number, in_use=in_use)
    return (Finding(Severity.NOTE, said, "container"),)
