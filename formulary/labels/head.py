"""The first rows of a label: name, strength, patient and quantity in as few lines as they need."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from formulary.labels.arrange import Room, fit, pieces_of
from formulary.labels.page import Field
from formulary.labels.plan import Group, Row, Scale

_NAMED: Row = (Field.NAME, Field.STRENGTH)


def head_rows(said: Mapping[Field, str], room: Room, scale: Scale) -> Group:
    """Return the rows, the quantity at the end of the last.

    On a full label the container's number stands before it if the line has room for both.
    """

    def on_one_line(row: Row) -> bool:
        return fit(pieces_of(row, said, scale), room.box.width)

    above, last = _beside_quantity(said, on_one_line)
    numbered = (*last, Field.CONTAINER, Field.QUANTITY)
    if scale.full and on_one_line(numbered):
        return (*above, numbered)
    return (*above, (*last, Field.QUANTITY))


def _beside_quantity(
    said: Mapping[Field, str], on_one_line: Callable[[Row], bool]
) -> tuple[Group, Row]:
    """Return the rows above the last, and what stands in the last before the quantity."""
    if Field.PATIENT in said:
        return (_NAMED,), (Field.PATIENT,)
    if on_one_line((*_NAMED, Field.QUANTITY)):
        return (), _NAMED
    return ((Field.NAME,),), (Field.STRENGTH,)
