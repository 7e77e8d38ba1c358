"""How it is kept and how long it lasts, as sentences: what the counter asks first."""

from __future__ import annotations

from formulary.formula.content import ShelfLife, Storage
from formulary.formula.periods import said as period_said
from formulary.messages import Message, message


def storage_said(storage: Storage | None) -> tuple[Message, ...]:
    """Return the parts of a storage instruction, temperatures as numbers first."""
    if storage is None:
        return (message("formula.keeping.nothing"),)
    parts = list(_temperatures(storage))
    parts.extend(
        message(f"formula.keeping.{name}")
        for name in ("do_not_freeze", "protect_from_light", "keep_dry")
        if getattr(storage, name)
    )
    if storage.note:
        parts.append(message("formula.keeping.note", note=storage.note))
    return tuple(parts)


def _temperatures(storage: Storage) -> tuple[Message, ...]:
    lowest, highest = storage.lowest, storage.highest
    if lowest is not None and highest is not None:
        return (message("formula.keeping.between", lowest=lowest, highest=highest),)
    if highest is not None:
        return (message("formula.keeping.below", highest=highest),)
    if lowest is not None:
        return (message("formula.keeping.above", lowest=lowest),)
    return ()


def shelf_life_said(shelf_life: ShelfLife | None) -> Message:
    """Return how long it lasts, unopened and once opened."""
    if shelf_life is None:
        return message("formula.keeping.no_shelf_life")
    unopened = period_said(shelf_life.unopened)
    if shelf_life.opened is None:
        return message("formula.keeping.lasts", unopened=unopened)
    opened = period_said(shelf_life.opened)
    return message("formula.keeping.lasts_opened", unopened=unopened, opened=opened)
