"""Which of its statements a label makes where one label has no room for all."""

from __future__ import annotations

from collections.abc import Mapping
from enum import StrEnum

from formulary.labels.page import Field
from formulary.labels.plan import ESSENTIAL
from formulary.wording.label_profile import Element


class Part(StrEnum):
    """A label that says all, one of two, or one that a leaflet goes with."""

    WHOLE = "whole"
    FIRST = "first"
    SECOND = "second"
    WITH_LEAFLET = "with leaflet"


FIELDS: Mapping[Element, Field] = {
    **{each: Field(each.value) for each in Element if each.value in set(Field)},
    Element.ACTIVES: Field.STRENGTH,
    Element.EXCIPIENTS: Field.COMPOSITION,
    Element.CHILDREN: Field.WARNINGS,
}
"""The field of the label on which an element stands."""

_ON_BOTH = frozenset({Field.STAMP, Field.NAME, Field.LOT, Field.CONTAINER, Field.COPY, Field.PART})
_FIRST = ESSENTIAL | _ON_BOTH | {Field.HOUSE}
_WITH_LEAFLET = _FIRST | {Field.WARNINGS, Field.STORAGE, Field.TELEPHONE}


def fields_on(part: Part, least: frozenset[Element] | None = None) -> frozenset[Field]:
    """Return the fields on a part; ``least`` is all that a small container has to say itself."""
    if part is Part.WHOLE:
        return frozenset(Field)
    if part is Part.SECOND:
        return (frozenset(Field) - _FIRST) | _ON_BOTH
    if part is Part.FIRST:
        return _FIRST
    if least is not None:
        return frozenset(FIELDS[each] for each in least) | _ON_BOTH
    return _WITH_LEAFLET
