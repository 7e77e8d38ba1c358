"""A layout of the house as TOML: what is kept, written out and read in again."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator
from typing import Any

from formulary.errors import BadText
from formulary.labels.design import NO_TEXT, Align, Box, Design, Thing
from formulary.labels.stock import LabelStock, stock_from
from formulary.messages import message

_STOCK = "stock"


def write_design(design: Design) -> str:
    """Return the layout as text; :func:`read_design` returns the same one from it."""
    return "\n".join((*_stock_lines(design.stock), *_box_lines(design))) + "\n"


def read_design(text: str, called: str = "") -> Design:
    """Return the layout that a text describes, the one on screen where it isn't ``called`` else.

    Raises :class:`formulary.errors.BadText`, which says what is wrong with the text ``called`` so.
    """
    named = called or message("layouts.on_screen")
    try:
        whole = tomllib.loads(text)
        boxes = tuple(map(_box, whole.get("element", ())))
        stock = whole[_STOCK]
    except (KeyError, TypeError, ValueError, AttributeError) as trouble:
        raise BadText(message("layouts.bad_text", called=named, why=str(trouble))) from trouble
    except RecursionError:
        # Its own words are those of the language, not of the file; and its trace is long.
        raise BadText(message("layouts.too_deep", called=named)) from None
    return Design(stock_from(stock, called), boxes)


def _stock_lines(stock: LabelStock) -> Iterator[str]:
    yield "[stock]"
    yield f'code = "{stock.code}"'
    yield f'kind = "{stock.kind}"'
    for name in ("width_mm", "height_mm", "margin_mm", "dots_per_inch"):
        yield f"{name} = {_figure(getattr(stock, name))}"
    if stock.sheet is not None:
        yield "[stock.sheet]"
        for name in ("width_mm", "height_mm", "columns", "rows"):
            yield f"{name} = {_figure(getattr(stock.sheet, name))}"
        for name in ("left_mm", "top_mm", "across_mm", "down_mm"):
            yield f"{name} = {_figure(getattr(stock.sheet, name))}"


def _box_lines(design: Design) -> Iterator[str]:
    for box in design.boxes:
        yield ""
        yield "[[element]]"
        yield f'says = "{box.thing}"'
        for name in ("left", "top", "width", "height"):
            yield f"{name}_mm = {_figure(getattr(box, name))}"
        if box.thing not in NO_TEXT:
            yield f"size_pt = {_figure(box.size_pt)}"
            yield f'align = "{box.align}"'


def _figure(number: float) -> str:
    """Return a number to a hundredth, without needless noughts."""
    return f"{round(number, 2):.2f}".rstrip("0").rstrip(".")


def _box(table: dict[str, Any]) -> Box:
    left, top, width, height = (
        _number(table[f"{name}_mm"]) for name in ("left", "top", "width", "height")
    )
    size = _number(table.get("size_pt", 0))
    thing, align = Thing(table["says"]), Align(table.get("align", Align.START))
    return Box(thing, left, top, width, height, size, align)


def _number(value: object) -> float:
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise TypeError(f"{value!r} is no number")
    return float(value)
