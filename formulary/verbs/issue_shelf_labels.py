"""Print the labels of containers of stock: on record and delivered, or neither."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from formulary.desk import Desk
from formulary.errors import Refusal
from formulary.house import Printer
from formulary.ingredient import Ingredient
from formulary.labels.for_printer import moved_for
from formulary.labels.page import Page
from formulary.labels.sheet import on_sheets
from formulary.labels.shelf import ShelfLabel, lay_out_shelf, shelf_label
from formulary.labels.stock import LabelStock
from formulary.messages import message
from formulary.verbs.look_up_stock import container_with, holdings_of
from formulary.verbs.stocks_of_house import stock_among, stocks_of

Deliver = Callable[[Sequence[Page], LabelStock], None]


def shelf_labels(desk: Desk, container_ids: Sequence[str]) -> tuple[ShelfLabel, ...]:
    """Return what the containers' labels say as they stand now."""
    house = desk.house
    containers = [container_with(desk.store, each) for each in container_ids]
    labels = []
    for held in holdings_of(desk.store, containers):
        ingredient = desk.store.get(Ingredient, held.lot.ingredient_id)
        name = ingredient.name if ingredient is not None else held.lot.ingredient_id
        labels.append(shelf_label(held, name, house))
    return tuple(labels)


def issue_shelf_labels(
    desk: Desk,
    container_ids: Sequence[str],
    stock_code: str,
    deliver: Deliver,
    *,
    printer: Printer | None = None,
) -> tuple[ShelfLabel, ...]:
    """Lay the labels out, put the print on record and hand the pages to ``deliver``.

    A stock of the house is laid out as any other of its size. What doesn't fit is refused before
    anything is on record; if delivering fails, nothing is.
    """
    if not container_ids:
        raise Refusal(message("stock.look_up.nothing_to_label"))
    stocks = stocks_of(desk.store)
    stock = stock_among(stocks, stock_code)
    labels = shelf_labels(desk, container_ids)
    dots = printer.dots_per_inch if printer is not None else None
    pages = moved_for(
        printer,
        on_sheets([lay_out_shelf(each, stock, dots, stocks) for each in labels], stock, 1, dots),
    )
    with desk.writing("issue_shelf_labels") as writing:
        writing.tell(containers=", ".join(each.number for each in labels), stock=stock.code)
        deliver(pages, stock)
        return labels
