"""Directions that somebody typed are in one language: they don't pass for another's."""

from __future__ import annotations

from typing import TypeVar

from formulary.errors import BadText
from formulary.house import House
from formulary.labels.wording import in_another_language
from formulary.orders.order import Order
from formulary.preparation import Preparation

T = TypeVar("T", Order, Preparation)


def require_own_language(house: House, before: T, now: T) -> None:
    """Raise :class:`formulary.errors.BadText` where the same words change their language alone.

    What was built from parts stood there in the house's language.
    """
    kept = before.language if before.dosing is None else ""
    written, wanted = (each or house.label_language for each in (kept, now.language))
    same = now.dosing is None and now.directions and now.directions == before.directions
    if same and written != wanted:
        raise BadText(in_another_language(written, wanted), field="directions")
