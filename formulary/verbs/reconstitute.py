"""Keep that a marketed product was made up by its label, and list what was."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from formulary.desk import Desk
from formulary.ids import new_id
from formulary.orders.order import Order
from formulary.quantity.amount import Amount
from formulary.reconstitution import Reconstitution, require_sense
from formulary.store import Reading
from formulary.verbs.look_up_order import order_numbered


@dataclass(frozen=True, slots=True)
class MadeUp:
    """What is said of a product that was made up; see :class:`Reconstitution`."""

    product: str
    maker_lot: str
    expiry: date
    diluent: str
    volume: Amount
    use_by: date
    by_label: str
    strength: str = ""
    order: str = ""


def reconstitute(desk: Desk, said: MadeUp) -> Reconstitution:
    """Keep the light record of a product made up today.

    Raises :class:`formulary.errors.Refusal` for one that makes no sense, and
    :class:`formulary.errors.NotFound` for an order that isn't there.
    """
    order: Order | None = order_numbered(desk.store, said.order) if said.order.strip() else None
    made = Reconstitution(
        id=new_id(),
        day=desk.today.isoformat(),
        product=said.product.strip(),
        maker_lot=said.maker_lot.strip(),
        expiry=said.expiry,
        diluent=said.diluent.strip(),
        volume=said.volume,
        use_by=said.use_by,
        by_label=said.by_label.strip(),
        at=desk.act().at,
        person_id=desk.person.id,
        person=desk.person.name,
        strength=said.strength.strip(),
        order=order.number if order is not None else "",
    )
    require_sense(made)
    with desk.writing("reconstitute") as writing:
        return writing.put(made)


def made_up(store: Reading) -> tuple[Reconstitution, ...]:
    """Return every product that was made up, the newest first."""
    return tuple(sorted(store.every(Reconstitution), key=lambda each: each.at, reverse=True))
