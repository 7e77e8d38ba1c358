"""Put the result of an identity check on record: of one container, by a named method."""

from __future__ import annotations

from formulary.canonical import content_hash
from formulary.desk import Desk
from formulary.errors import Refusal
from formulary.messages import message
from formulary.signing import Meaning
from formulary.stock.container import IdentityCheck, StockContainer, identify
from formulary.stock.shelf import Holding
from formulary.verbs.look_up_stock import container_with, holding_of
from formulary.verbs.sign_in import signed
from formulary.verbs.stock_as_seen import require_holding_seen


def identify_container(
    desk: Desk,
    container_id: str,
    pin: str,
    method: str,
    *,
    passed: bool,
    seen: Holding | None = None,
) -> StockContainer:
    """Keep a container's identity check, signed by who did it.

    Raises :class:`formulary.errors.Refusal` without a method, and after a check that failed; and
    :class:`formulary.errors.Conflict` where the container isn't as it was ``seen``.
    """
    desk.may("identify_container")
    if not method.strip():
        raise Refusal(message("stock.identity.no_method"))
    container = container_with(desk.store, container_id)
    require_holding_seen(desk.store, holding_of(desk.store, container), seen)
    signature = signed(desk, pin, Meaning.IDENTIFIED, content_hash(container))
    checked = identify(container, IdentityCheck(method.strip(), passed, signature))
    with desk.writing("identify_container") as writing:
        writing.tell(container=container.number)
        return writing.put(checked)
