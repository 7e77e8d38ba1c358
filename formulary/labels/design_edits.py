"""One change to a layout at a time: place, size, type, order; each returns a new layout.

Steps are half millimetres and half points, so that boxes line up; nothing is moved off the label.
"""

from __future__ import annotations

from dataclasses import replace

from formulary.labels.design import NO_TEXT, Align, Box, Design, Thing
from formulary.labels.page import Place
from formulary.labels.stock import LabelStock

STEP_MM = 0.5
STEP_PT = 0.5
LEAST_SIDE_MM = 1.0
_LARGEST_PT = 72.0
_FIRST_SIZE_PT = 9.0
_FIRST_SIDES_MM = (20.0, 5.0)
_FIRST_CODE_MM = 12.0
_CODES = frozenset({Thing.SQUARE, Thing.BARS})


def moved_to(design: Design, number: int, left: float, top: float) -> Design:
    """Return the layout with a box there, as near as the label's edges let it."""
    box, stock = design.boxes[number], design.stock
    left = _between(0, left, stock.width_mm - box.width)
    top = _between(0, top, stock.height_mm - box.height)
    return _with(design, number, replace(box, left=_tidy(left), top=_tidy(top)))


def moved_by(design: Design, number: int, right: float, down: float) -> Design:
    """Return the layout with a box moved by so many mm."""
    box = design.boxes[number]
    return moved_to(design, number, box.left + right, box.top + down)


def sized_to(design: Design, number: int, width: float, height: float) -> Design:
    """Return the layout with a box of that size, its top left corner where it was."""
    box, stock = design.boxes[number], design.stock
    width = _between(LEAST_SIDE_MM, width, stock.width_mm - box.left)
    height = _between(LEAST_SIDE_MM, height, stock.height_mm - box.top)
    return _with(design, number, replace(box, width=_tidy(width), height=_tidy(height)))


def sized_by(design: Design, number: int, wider: float, higher: float) -> Design:
    """Return the layout with a box so many mm wider and higher."""
    box = design.boxes[number]
    return sized_to(design, number, box.width + wider, box.height + higher)


def placed(design: Design, number: int, place: Place) -> Design:
    """Return the layout with a box at a place as typed; it ends where the label does."""
    box, stock = design.boxes[number], design.stock
    left = _between(0, place.left, stock.width_mm - LEAST_SIDE_MM)
    top = _between(0, place.top, stock.height_mm - LEAST_SIDE_MM)
    there = _with(design, number, replace(box, left=_tidy(left), top=_tidy(top)))
    return sized_to(there, number, place.width, place.bottom - place.top)


def on_grid(mm: float) -> float:
    """Return the nearest half millimetre: where a mouse lets a box go."""
    return round(mm / STEP_MM) * STEP_MM


def typed(design: Design, number: int, size_pt: float) -> Design:
    """Return the layout with another size of type in a box; codes have none."""
    box = design.boxes[number]
    if box.thing in NO_TEXT:
        return design
    size = _between(1, size_pt, _LARGEST_PT)
    return _with(design, number, replace(box, size_pt=_tidy(size)))


def aligned(design: Design, number: int, align: Align) -> Design:
    """Return the layout with the lines of a box set so."""
    return _with(design, number, replace(design.boxes[number], align=align))


def reordered(design: Design, number: int, by: int) -> Design:
    """Return the layout with a box read so many places later, or earlier below 0."""
    boxes = list(design.boxes)
    box = boxes.pop(number)
    boxes.insert(max(0, min(number + by, len(boxes))), box)
    return replace(design, boxes=tuple(boxes))


def with_box(design: Design, thing: Thing) -> Design:
    """Return the layout with one more thing, in the middle of the label and last to be read."""
    stock = design.stock
    sides = (_FIRST_CODE_MM, _FIRST_CODE_MM) if thing is Thing.SQUARE else _FIRST_SIDES_MM
    width, height = min(sides[0], stock.width_mm), min(sides[1], stock.height_mm)
    left, top = on_grid((stock.width_mm - width) / 2), on_grid((stock.height_mm - height) / 2)
    size = 0.0 if thing in NO_TEXT else _FIRST_SIZE_PT
    return replace(design, boxes=(*design.boxes, Box(thing, left, top, width, height, size)))


def without(design: Design, number: int) -> Design:
    """Return the layout without a box."""
    return replace(design, boxes=(*design.boxes[:number], *design.boxes[number + 1 :]))


def on_stock(design: Design, stock: LabelStock) -> Design:
    """Return the boxes fitted to another stock; codes keep their size, type keeps its points.

    The findings say what no longer has room.
    """
    there = replace(design, stock=stock)
    boxes = (_fitted(each, design.inside, there.inside) for each in design.boxes)
    return replace(there, boxes=tuple(boxes))


def _fitted(box: Box, before: Place, after: Place) -> Box:
    """Return a box at the same part of what can be printed on."""
    across = after.width / before.width
    down = (after.bottom - after.top) / (before.bottom - before.top)
    left, right = (after.left + (x - before.left) * across for x in (box.left, box.place.right))
    top, bottom = (after.top + (y - before.top) * down for y in (box.top, box.place.bottom))
    if box.thing in _CODES:
        # A code in a corner stays in it.
        middle_x, middle_y = (after.left + after.right) / 2, (after.top + after.bottom) / 2
        left = right - box.width if (left + right) / 2 > middle_x else left
        top = bottom - box.height if (top + bottom) / 2 > middle_y else top
        return replace(box, left=_tidy(left), top=_tidy(top))
    left, top = _tidy(left), _tidy(top)
    width, height = _tidy(_tidy(right) - left), _tidy(_tidy(bottom) - top)
    return replace(box, left=left, top=top, width=width, height=height)


def _with(design: Design, number: int, box: Box) -> Design:
    boxes = (*design.boxes[:number], box, *design.boxes[number + 1 :])
    return replace(design, boxes=boxes)


def _between(least: float, value: float, most: float) -> float:
    return max(least, min(value, most))


def _tidy(number: float) -> float:
    return round(number, 2)
