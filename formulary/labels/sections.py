"""The body of a label with room to spare: sections under hairlines, the maker at the foot."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from formulary.labels.arrange import Overfull, Room, set_rows
from formulary.labels.head import head_rows
from formulary.labels.page import Field, GlyphRun, Item, Place, Rule
from formulary.labels.plan import MAKER, Row, Scale, sections


def set_sections(
    said: Mapping[Field, str], room: Room, scale: Scale, dot: float, order: Row = ()
) -> tuple[Item, ...]:
    """Set the sections from the top, a hairline of one dot before each but the first.

    Raises Overfull, naming the first field that has no room.
    """
    items: list[Item] = []
    top, gap = room.box.top, scale.gap_mm
    for rows in (head_rows(said, room, scale), *sections(order)):
        if not any(field in said for row in rows for field in row):
            continue
        if items:
            items.append(_hairline(room, top + gap, dot))
            top += 2 * gap + dot
        done = set_rows(rows, said, room.below(top), scale)
        items += done.items
        top = done.bottom
    return (*items, *_maker(said, room.below(top), scale))


def _hairline(room: Room, top: float, dot: float) -> Rule:
    """Return a line of one dot, on a whole dot so that it prints evenly."""
    on_dot = round(top / dot) * dot
    right = room.right_of_line(on_dot + dot)
    return Rule(room.box.left, on_dot, right - room.box.left, dot)


def _maker(said: Mapping[Field, str], room: Room, scale: Scale) -> tuple[GlyphRun, ...]:
    """Set the maker at the bottom beside the code, or in running lines if that is too high."""
    box = room.box
    beside = Room(Place(box.left, 0, room.right_of_line(box.bottom), box.bottom - box.top))
    for rows in ([(field,) for field in MAKER], [MAKER]):
        try:
            done = set_rows(rows, said, beside, scale)
        except Overfull:
            continue
        down = box.bottom - done.bottom
        return tuple(replace(run, y_mm=run.y_mm + down) for run in done.items)
    return set_rows([MAKER], said, room, scale).items
