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

    What was built from parts stood there in the house's language, with what is added to it as it
    was typed.
    """
    was_built = before.dosing is not None and now.dosing is None
    kept = "" if was_built else before.language
    written, wanted = (each or house.label_language for each in (kept, now.language))
    if written != wanted and _same_words(before, now):
        raise BadText(in_another_language(written, wanted, now.dosing), field="directions")


def _same_words(before: T, now: T) -> bool:
    if now.dosing is None:
        return bool(now.directions) and now.directions == before.directions
    note = now.dosing.note.strip()
    return bool(note) and before.dosing is not None and note == before.dosing.note.strip()
