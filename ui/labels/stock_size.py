"""How a label stock is named to whoever chooses one: by its measures, a house's own by both."""

from __future__ import annotations

from fractions import Fraction

from formulary.labels.stock import LabelStock, label_stocks
from ui.context import Context


def stock_words(context: Context, stock: LabelStock) -> str:
    """Return a stock's measures, before them the name that the house gave its own."""
    sides = size_of(stock)
    key = "size" if stock.sheet is None else "size_on_sheet"
    size = context.text(f"ui_labels.{key}", **sides)
    if any(each.code == stock.code for each in label_stocks()):
        return size
    return context.text("ui_labels.own_stock", name=stock.code, size=size)


def size_of(stock: LabelStock) -> dict[str, Fraction]:
    """Return a stock's sides in mm as a sentence takes them."""
    return {"width": Fraction(str(stock.width_mm)), "height": Fraction(str(stock.height_mm))}
