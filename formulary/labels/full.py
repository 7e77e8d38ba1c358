"""The body of a label with much to say: essentials line by line, then small print in one piece."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping

from formulary.labels.arrange import Room, fit, pieces_of, set_rows
from formulary.labels.page import Field, GlyphRun
from formulary.labels.plan import SMALL_PRINT, Group, Row, Scale
from formulary.labels.run_in import set_run_in


def set_full(said: Mapping[Field, str], room: Room, scale: Scale) -> tuple[GlyphRun, ...]:
    """Set all that is said from the top of the room, the last lines beside the code.

    Raises Overfull, naming the first field that has no room.
    """

    def on_one_line(row: Row) -> bool:
        return fit(pieces_of(row, said, scale), room.box.width)

    items: list[GlyphRun] = []
    top = room.box.top
    head = _head(said, on_one_line)
    for rows in (head, ((Field.DIRECTIONS,),), ((Field.USE_BY, Field.LOT),)):
        done = set_rows(rows, said, room.below(top), scale)
        items += done.items
        top = done.bottom + (scale.gap_mm if done.items else 0)
    small_print = _without(SMALL_PRINT, head)
    return (*items, *set_run_in(small_print, said, room.below(top), scale).items)


def _head(said: Mapping[Field, str], on_one_line: Callable[[Row], bool]) -> Group:
    """Return name, strength, patient and quantity in the fewest rows.

    The container's number stands before the quantity where the line has room for both.
    """
    named = (Field.NAME, Field.STRENGTH)
    if Field.PATIENT in said:
        *above, last = named, (Field.PATIENT,)
    elif on_one_line((*named, Field.QUANTITY)):
        *above, last = (named,)
    else:
        *above, last = (Field.NAME,), (Field.STRENGTH,)
    numbered = (*last, Field.CONTAINER, Field.QUANTITY)
    return (*above, numbered if on_one_line(numbered) else (*last, Field.QUANTITY))


def _without(row: Row, group: Iterable[Row]) -> Row:
    return tuple(field for field in row if not any(field in other for other in group))
