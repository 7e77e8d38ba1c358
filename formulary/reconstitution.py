"""A marketed product made up by its maker's label: a light record, since nothing is compounded."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime

from formulary.errors import Refusal
from formulary.messages import message
from formulary.quantity.amount import Amount


@dataclass(frozen=True, slots=True)
class Reconstitution:
    """What was made up of which lot, with what, by whose directions, and how long it lasts.

    ``expiry`` is the last day of the product as delivered, ``use_by`` that of what was made up;
    ``day`` is the house's, in ISO 8601. ``by_label`` is where the directions stand; ``order`` the
    number of the order it was made up for, if there is one.
    """

    id: str
    day: str
    product: str
    maker_lot: str
    expiry: date
    diluent: str
    volume: Amount
    use_by: date
    by_label: str
    at: datetime
    person_id: str
    person: str
    strength: str = ""
    order: str = ""
    revision: int = 0


def require_sense(made: Reconstitution) -> None:
    """Refuse one without product, lot or directions, of a product run out, or lasting too long."""
    for name in ("product", "maker_lot", "diluent", "by_label"):
        if not getattr(made, name).strip():
            raise Refusal(message(f"made_up.missing.{name}"))
    if made.volume.number <= 0:
        raise Refusal(message("made_up.no_volume"))
    today = date.fromisoformat(made.day)
    if made.expiry < today:
        raise Refusal(message("made_up.expired", product=made.product, on=made.expiry))
    if not today <= made.use_by <= made.expiry:
        raise Refusal(message("made_up.use_by", first=today, last=made.expiry))
