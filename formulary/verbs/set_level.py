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


def set_level(
    desk: Desk, ingredient_id: str, least: Amount, source: Source = Source.SUBSTANCE
) -> Level:
    """Keep the least amount wanted; nothing wanted is zero of it."""
    if least.number < 0:
        raise Refusal(message("stock.move.below_zero", amount=least))
    with desk.writing("set_level") as writing:
        known = writing.having(Level, ingredient_id=ingredient_id)
        same = [each for each in known if each.source is source]
        level = same[0] if same else Level(new_id(), ingredient_id, least, source)
        return writing.put(replace(level, least=least))
