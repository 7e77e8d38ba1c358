"""A page that shows how far a printer prints from where it should: a cross with a ruler.

Print it, measure from the label's edges to the cross, and enter in Settings what is lacking.
"""

from __future__ import annotations

from collections.abc import Iterator

from formulary.labels.arrange import Overfull, Room, set_rows
from formulary.labels.page import Field, Item, Page, Place, Rule, dot_mm
from formulary.labels.plan import Scale
from formulary.labels.sheet import on_sheets
from formulary.labels.stock import LabelStock

_ARM_MM = 8
_TICKS = {5: 1.6, 10: 2.4}
_TICK_MM = 0.9
_APART_MM = 0.5
_TEXT = Scale(essential=6, small=6, leading=1.2)
_DOTS = 2


def calibration_pages(
    stock: LabelStock, said: tuple[str, str], dots_per_inch: int | None = None
) -> list[Page]:
    """Return the page of a roll's label, or a sheet with the cross on its first and last label.

    ``said`` is what stands above and below the cross; it is left out where it has no room.
    """
    label = _label(stock, said, dot_mm(dots_per_inch or stock.dots_per_inch))
    if stock.sheet is None:
        return [label]
    blank = Page(stock.width_mm, stock.height_mm, ())
    return on_sheets([label, *[blank] * (stock.sheet.labels - 2), label], stock, 1, dots_per_inch)


def _label(stock: LabelStock, said: tuple[str, str], dot: float) -> Page:
    across, down = stock.width_mm / 2, stock.height_mm / 2
    cross = _cross(across, down, _arm(stock), _DOTS * dot)
    return Page(stock.width_mm, stock.height_mm, (*cross, *_texts(stock, said)))


def _arm(stock: LabelStock) -> int:
    return min(_ARM_MM, int(stock.height_mm / 2 - stock.margin_mm - 1))


def _cross(x: float, y: float, arm: int, line: float) -> Iterator[Rule]:
    """Yield both arms, centred on the point, and a tick for each millimetre along them."""
    yield Rule(x - arm, y - line / 2, 2 * arm, line)
    yield Rule(x - line / 2, y - arm, line, 2 * arm)
    for at in range(-arm, arm + 1):
        tick = _TICKS.get(abs(at), _TICK_MM) if at else 0
        if tick:
            yield Rule(x + at - line / 2, y - tick / 2, line, tick)
            yield Rule(x - tick / 2, y + at - line / 2, tick, line)


def _texts(stock: LabelStock, said: tuple[str, str]) -> Iterator[Item]:
    """Yield the texts, one above the arms and one below."""
    margin, half = stock.margin_mm, stock.height_mm / 2
    right, arm = stock.width_mm - margin, _arm(stock)
    boxes = (
        Place(margin, margin, right, half - arm - _APART_MM),
        Place(margin, half + arm + _APART_MM, right, stock.height_mm - margin),
    )
    for text, box in zip(said, boxes, strict=True):
        try:
            yield from set_rows([(Field.EXTRA,)], {Field.EXTRA: text}, Room(box), _TEXT).items
        except Overfull:
            continue
