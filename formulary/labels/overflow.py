"""What becomes of a label with more to say than it has room for: a second label, or a leaflet."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from enum import StrEnum

from formulary.labels.content import LabelContent
from formulary.labels.page import Field
from formulary.labels.parts import Part
from formulary.labels.wording import statements
from formulary.messages import Message, message
from formulary.wording.warnings import must_be_printed


class Overflow(StrEnum):
    """Where what doesn't fit goes; nowhere unless the user chooses."""

    NONE = ""
    SECOND_LABEL = "second label"
    LEAFLET = "leaflet"

    @property
    def said(self) -> Message:
        """What it is called."""
        return message(f"label.overflow.{self.name.lower()}")


def in_parts(contents: Iterable[LabelContent], overflow: Overflow) -> tuple[LabelContent, ...]:
    """Return the labels as chosen: as they are, two for each container, or one for a leaflet."""
    return tuple(part for each in contents for part in parts_of(each, overflow))


def parts_of(content: LabelContent, overflow: Overflow) -> tuple[LabelContent, ...]:
    """Return the labels of one container."""
    match overflow:
        case Overflow.SECOND_LABEL:
            return tuple(replace(content, part=part) for part in (Part.FIRST, Part.SECOND))
        case Overflow.LEAFLET:
            kept = tuple(code for code in content.warnings if must_be_printed(code))
            return (replace(content, part=Part.WITH_LEAFLET, warnings=kept),)
        case Overflow.NONE:
            return (content,)


def leaflet_needed(content: LabelContent) -> tuple[tuple[Field, str], ...]:
    """Return what the leaflet has to say beside a label of this content: fields and texts."""
    (label,) = parts_of(content, Overflow.LEAFLET)
    there = statements(label)
    whole = statements(replace(content, part=Part.WHOLE))
    return tuple((field, text) for field, text in whole.items() if there.get(field) != text)
