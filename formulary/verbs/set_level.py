"""Say how much of an ingredient is wanted on the shelf at the least."""

from __future__ import annotations

from dataclasses import replace

from formulary.desk import Desk
from formulary.errors import Refusal
from formulary.ids import new_id
from formulary.messages import message
from formulary.quantity.amount import Amount
from formulary.stock.lot import Source
from formulary.stock.shelf import Level
from formulary.store import Reading
from formulary.verbs.stock_as_seen import require_level_seen


def set_level(
    desk: Desk,
    ingredient_id: str,
    least: Amount,
    source: Source = Source.SUBSTANCE,
    *,
    seen: int | None = None,
) -> Level:
    """Keep the least amount wanted; nothing wanted is zero of it.

    ``seen`` is the revision of what the person at the desk knew, 0 where there was none. Raises
    :class:`formulary.errors.Conflict` where somebody set another one meanwhile.
    """
    if least.number < 0:
        raise Refusal(message("stock.move.below_zero", amount=least))
    with desk.writing("set_level") as writing:
        known = level_of(writing, ingredient_id, source)
        level = known or Level(new_id(), ingredient_id, least, source)
        require_level_seen(writing, level, seen)
        return writing.put(replace(level, least=least))


def level_of(store: Reading, ingredient_id: str, source: Source) -> Level | None:
    """Return the least amount that is wanted, None where nobody set one."""
    known = store.having(Level, ingredient_id=ingredient_id)
    return next((each for each in known if each.source is source), None)
