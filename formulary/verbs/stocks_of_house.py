"""The label stocks there are in a house, and by which layout labels of one are printed."""

from __future__ import annotations

from collections.abc import Iterable

from formulary.errors import NotFound
from formulary.house_layout import HouseLayout
from formulary.labels.design import Design
from formulary.labels.design_text import read_design
from formulary.labels.stock import LabelStock, label_stocks
from formulary.messages import message
from formulary.store import Reading


def stocks_of(store: Reading) -> tuple[LabelStock, ...]:
    """Return the stocks that come with the program and those of layouts in use, smallest first."""
    stocks = {each.code: each for each in label_stocks()}
    stocks |= {code: each.stock for code, each in designs_in_use(store).items()}
    return tuple(sorted(stocks.values(), key=lambda stock: (stock.area, stock.code)))


def stock_called(store: Reading, code: str) -> LabelStock:
    """Return the stock with that code. Raises NotFound, naming those there are."""
    return stock_among(stocks_of(store), code)


def stock_among(stocks: Iterable[LabelStock], code: str) -> LabelStock:
    """Return the one of the stocks with that code. Raises NotFound, naming them."""
    found = {each.code: each for each in stocks}
    if code not in found:
        raise NotFound(message("label.no_such_stock", code=code, there_are=", ".join(found)))
    return found[code]


def design_for(store: Reading, code: str) -> Design | None:
    """Return how the house lays out labels of a stock, if it does."""
    layout = layout_for(store, code)
    return None if layout is None else read_design(layout.text, code)


def layout_for(store: Reading, code: str) -> HouseLayout | None:
    """Return the layout of the house that labels of a stock are printed by, if there is one."""
    return next((each for each in store.having(HouseLayout, stock=code) if each.in_use), None)


def designs_in_use(store: Reading) -> dict[str, Design]:
    """Return the layouts of the house that labels are printed by, by the code of their stock."""
    found = (each for each in store.every(HouseLayout) if each.in_use)
    return {each.stock: read_design(each.text, each.stock) for each in found}
