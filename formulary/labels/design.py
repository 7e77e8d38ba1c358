"""The house's own layout of a label: what stands where on a stock of any size, as readable data.

Places are millimetres from the label's top left corner. The order of the boxes is that in which
they are read.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum

from formulary.errors import NotFound
from formulary.labels.page import Field, Place
from formulary.labels.parts import FIELDS
from formulary.labels.plan import ESSENTIAL, small_print
from formulary.labels.stock import LabelStock
from formulary.messages import Message, message
from formulary.wording.label_profile import Profile


class Thing(StrEnum):
    """What can be placed: a statement, a code, the pictograms, or the rest in one paragraph."""

    STAMP = "stamp"
    NAME = "name"
    STRENGTH = "strength"
    QUANTITY = "quantity"
    PATIENT = "patient"
    FORM = "form"
    ROUTE = "route"
    DIRECTIONS = "directions"
    USE_BY = "use_by"
    LOT = "lot"
    BESIDE = "beside"
    STORAGE = "storage"
    AFTER_OPENING = "after_opening"
    WARNINGS = "warnings"
    TARGET = "target"
    COMPOSITION = "composition"
    EXTRA = "extra"
    COMPOUNDED = "compounded"
    MADE_ON = "made_on"
    CONTAINER = "container"
    COPY = "copy"
    PART = "part"
    PRESCRIBER = "prescriber"
    HOUSE = "house"
    ADDRESS = "address"
    TELEPHONE = "telephone"
    REST = "rest"
    PICTOGRAMS = "pictograms"
    BARS = "bars"
    SQUARE = "code"

    @property
    def field(self) -> Field:
        """What on the label it says, ``NONE`` for the rest."""
        if self is Thing.PICTOGRAMS:
            return Field.PICTOGRAM
        if self is Thing.BARS:
            return Field.CODE
        return Field.NONE if self is Thing.REST else Field(self.value)

    @property
    def called(self) -> Message:
        """What it is called."""
        return message(f"layouts.thing.{self}")


NO_TEXT = frozenset({Thing.PICTOGRAMS, Thing.BARS, Thing.SQUARE})
"""What has no size of type."""

ESSENTIALS = frozenset(each for each in Thing if each.field in ESSENTIAL)
"""What nobody must miss: never part of the rest."""

_OF_REST = frozenset(small_print())

_HAIR = 0.02

ALWAYS = (Thing.STAMP, Thing.NAME, Thing.QUANTITY, Thing.USE_BY, Thing.LOT, Thing.SQUARE)
"""What labels say in every jurisdiction, the stamp on trials and proofs."""


class Align(StrEnum):
    """Where the lines of a box stand: where reading begins, in the middle, or at the other end."""

    START = "start"
    CENTRE = "centre"
    END = "end"


@dataclass(frozen=True, slots=True)
class Box:
    """One element: its place in mm, its largest size of type in points, and how lines stand."""

    thing: Thing
    left: float
    top: float
    width: float
    height: float
    size_pt: float = 0
    align: Align = Align.START

    @property
    def place(self) -> Place:
        """The rectangle that it may fill."""
        return Place(self.left, self.top, self.left + self.width, self.top + self.height)


@dataclass(frozen=True, slots=True)
class Design:
    """A layout of the house for one stock, its boxes in reading order."""

    stock: LabelStock
    boxes: tuple[Box, ...] = ()

    @property
    def inside(self) -> Place:
        """What the printer can print on."""
        margin, stock = self.stock.margin_mm, self.stock
        return Place(margin, margin, stock.width_mm - margin, stock.height_mm - margin)

    @property
    def things(self) -> frozenset[Thing]:
        """What has a place."""
        return frozenset(each.thing for each in self.boxes)

    def box(self, thing: Thing) -> Box:
        """Return the box of a thing. Raises NotFound where it has none."""
        for each in self.boxes:
            if each.thing is thing:
                return each
        raise NotFound(message("layouts.not_placed", thing=thing.called))

    def corner_of(self, box: Box) -> Place | None:
        """Return the bottom right corner that the rest leaves to the square code, if it lies there.

        Every other element keeps its whole box, and so does the rest in any other place.
        """
        square = next((each.place for each in self.boxes if each.thing is Thing.SQUARE), None)
        if square is None or box.thing is not Thing.REST or not square.within(box.place):
            return None
        place = box.place
        beside = max(place.right - square.right, place.bottom - square.bottom)
        return Place(square.left, square.top, place.right, place.bottom) if beside < _HAIR else None

    def says(self, field: Field) -> bool:
        """Tell whether a statement has a place, of its own or among the rest."""
        own = any(each.thing.field is field for each in self.boxes)
        return own or (field in _OF_REST and Thing.REST in self.things)


def unplaced(design: Design, things: Iterable[Thing]) -> tuple[Thing, ...]:
    """Return those of the things that labels by this design could not say."""
    return tuple(each for each in things if not design.says(each.field))


def asked_of(profile: Profile) -> frozenset[Thing]:
    """Return what a jurisdiction's labels say, in every case or in some."""
    return frozenset(Thing(FIELDS[each].value) for each in profile.elements)
