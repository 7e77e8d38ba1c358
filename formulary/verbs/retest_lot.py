"""Give a lot another last day of use after it was tested again: a pharmacist's decision, signed."""

from __future__ import annotations

from datetime import date

from formulary.canonical import content_hash
from formulary.desk import Desk
from formulary.ingredient import Ingredient
from formulary.signing import Meaning
from formulary.stock.lot import SupplyLot
from formulary.stock.retest import retested
from formulary.verbs.look_up_stock import lot_with
from formulary.verbs.sign_in import signed


def retest_lot(desk: Desk, lot_id: str, pin: str, until: date, result: str) -> SupplyLot:
    """Keep what a retest found, and the new last day.

    Raises as :func:`formulary.stock.retest.retested` does, and
    :class:`formulary.errors.Forbidden` unless a pharmacist signs.
    """
    desk.may("retest_lot")
    lot = lot_with(desk.store, lot_id)
    ingredient = desk.store.get(Ingredient, lot.ingredient_id)
    by = signed(desk, pin, Meaning.DECIDED, content_hash(lot))
    again = retested(lot, ingredient.matter if ingredient else None, until, result, by)
    with desk.writing("retest_lot", result.strip()) as writing:
        writing.tell(lot=lot.number, until=until.isoformat())
        return writing.put(again)
