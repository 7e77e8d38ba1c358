"""The body of a label with much to say: essentials line by line, then small print in one piece."""

from __future__ import annotations

from collections.abc import Mapping

from formulary.labels.arrange import Room, set_rows
from formulary.labels.head import head_rows
from formulary.labels.page import Field, GlyphRun
from formulary.labels.plan import BESIDE, DATES, DIRECTIONS, WAY, Row, Scale, small_print
from formulary.labels.run_in import set_run_in


def set_full(
    said: Mapping[Field, str], room: Room, scale: Scale, order: Row = ()
) -> tuple[GlyphRun, ...]:
    """Set all that is said from the top of the room, the last lines beside the code.

    Raises Overfull, naming the first field that has no room.
    """
    items: list[GlyphRun] = []
    top = room.box.top
    head = head_rows(said, room, scale)
    for rows in (head, (WAY, DIRECTIONS), (DATES, BESIDE)):
        done = set_rows(rows, said, room.below(top), scale)
        items += done.items
        top = done.bottom + (scale.gap_mm if done.items else 0)
    rest = tuple(field for field in small_print(order) if not any(field in row for row in head))
    return (*items, *set_run_in(rest, said, room.below(top), scale).items)
