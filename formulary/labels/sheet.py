"""Labels on sheets of several: each in its place, from the first one that is still free."""

from __future__ import annotations

from collections.abc import Sequence

from formulary.errors import BadText
from formulary.labels.page import Item, Page, dot_mm, moved
from formulary.labels.stock import LabelStock, Sheet
from formulary.messages import message


def on_sheets(
    labels: Sequence[Page], stock: LabelStock, start: int = 1, dots_per_inch: int | None = None
) -> list[Page]:
    """Return the labels as they are printed: on a roll each alone, on sheets from ``start`` on.

    ``start`` counts the places of a sheet row by row from 1. Raises
    :class:`formulary.errors.BadText` for a place that no sheet of the stock has.
    """
    sheet = stock.sheet
    if sheet is None:
        return list(labels)
    if not 1 <= start <= sheet.labels:
        raise BadText(message("label.no_such_place", start=start, most=sheet.labels), field="start")
    dot = dot_mm(dots_per_inch or stock.dots_per_inch)
    placed: list[Page | None] = [None] * (start - 1) + list(labels)
    full = range(0, len(placed), sheet.labels)
    return [_sheet(placed[at : at + sheet.labels], sheet, dot) for at in full]


def _sheet(labels: Sequence[Page | None], sheet: Sheet, dot: float) -> Page:
    """Return one sheet. Each label begins on a whole dot, so that its codes stay on whole ones."""
    items: list[Item] = []
    for place, label in enumerate(labels):
        if label is not None:
            right, down = (round(at / dot) * dot for at in sheet.corner(place))
            items += (moved(item, right, down) for item in label.items)
    return Page(sheet.width_mm, sheet.height_mm, tuple(items))
