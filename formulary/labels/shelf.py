"""The label of a container of stock: what it is, how long it lasts, and its number to scan."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from itertools import product

from formulary.catalogue import Catalogue
from formulary.house import House
from formulary.labels.arrange import Overfull, Room, set_rows
from formulary.labels.barcode import bars, code_width_mm
from formulary.labels.layout import DoesNotFit
from formulary.labels.matrix import matrix, matrix_side_mm
from formulary.labels.metrics import require_printable
from formulary.labels.page import BarRun, Field, Item, MatrixRun, Page, Place, dot_mm
from formulary.labels.pictures import Pictogram, pictograms_of, row_of, row_width_mm
from formulary.labels.plan import Row, scales
from formulary.labels.stock import LabelStock, label_stocks
from formulary.labels.wording import tidy
from formulary.messages import Message, message
from formulary.quantity.amount import Amount
from formulary.stock.container import is_identified
from formulary.stock.lot import LotStrength, Status
from formulary.stock.shelf import Holding

_BAR_HEIGHT_MM = 6.0
_ABOVE_CODES_MM = 0.5
_ROWS: tuple[Row, ...] = (
    (Field.STAMP,),
    (Field.NAME, Field.STRENGTH),
    (Field.USE_BY, Field.QUANTITY),
    (Field.LOT, Field.NUMBER),
    (Field.STATUS, Field.WARNINGS),
    (Field.MADE_ON, Field.AFTER_OPENING, Field.EXTRA),
)


@dataclass(frozen=True, slots=True)
class ShelfLabel:
    """All that the label of a container of stock says, in ``language``."""

    number: str
    name: str
    lot: str
    size: Amount
    received_on: date
    until: date
    status: Message
    strength: LotStrength | None = None
    grade: str = ""
    opened_on: date | None = None
    place: str = ""
    hazards: tuple[str, ...] = ()
    sample: bool = False
    language: str = "en"
    decimal_sign: str = "."


def shelf_label(held: Holding, ingredient: str, house: House) -> ShelfLabel:
    """Return what a container's label says as it stands now."""
    lot, container = held.lot, held.container
    return ShelfLabel(
        number=container.number,
        name=ingredient,
        lot=lot.number,
        size=container.size,
        received_on=lot.received_on,
        until=held.until,
        status=message(f"label.shelf.status.{_status(held)}"),
        strength=lot.strength,
        grade=lot.grade,
        opened_on=container.opened_on,
        place=container.place,
        hazards=lot.hazards,
        sample=house.sample,
        language=house.label_language,
        decimal_sign=house.decimal_sign,
    )


def _status(held: Holding) -> str:
    """Return how it stands: an accepted lot says nothing of a container nobody identified."""
    lot, container = held.lot, held.container
    if lot.stop is not None:
        return lot.stop.halt.value
    if lot.status is not Status.ACCEPTED or is_identified(container, lot):
        return lot.status.value
    return "not_identified" if container.identity is None else "wrong_identity"


def lay_out_shelf(
    label: ShelfLabel,
    stock: LabelStock,
    dots_per_inch: int | None = None,
    others: Iterable[LabelStock] | None = None,
) -> Page:
    """Return the label in the largest type that fits; ``others`` may be suggested instead.

    Raises :class:`formulary.labels.layout.DoesNotFit`, naming what has no room.
    """
    said = _said(label)
    found = _first_fit(label, said, stock, dots_per_inch)
    if isinstance(found, Page):
        return found
    larger = stock.larger(others or label_stocks())
    fits = (e for e in larger if isinstance(_first_fit(label, said, e, dots_per_inch), Page))
    raise DoesNotFit(found, stock, next(fits, None))


def _first_fit(
    label: ShelfLabel, said: Mapping[Field, str], stock: LabelStock, dots_per_inch: int | None
) -> Page | Field:
    dots = dots_per_inch or stock.dots_per_inch
    lacking = Field.CODE
    hazards = pictograms_of(label.hazards)
    for pictograms, scale in product((hazards, ()) if hazards else ((),), scales(stock)):
        try:
            codes, room = _codes(label.number, stock, dots)
            pictures, beside = _pictures(pictograms, room)
            text = set_rows(_ROWS, said, beside, scale)
        except Overfull as trouble:
            lacking = trouble.field
        else:
            return Page(stock.width_mm, stock.height_mm, (*text.items, *pictures, *codes))
    return lacking


def _pictures(pictograms: Sequence[Pictogram], room: Room) -> tuple[tuple[Item, ...], Room]:
    """Return diamonds left of the square, above the bars, and the room that is left."""
    if not pictograms or room.corner is None:
        return (), room
    left = room.corner.left - row_width_mm(pictograms)
    pictures = row_of(pictograms, left, room.box.bottom)
    if any(not each.place.within(room.box) for each in pictures):
        raise Overfull(Field.PICTOGRAM)
    top = min(room.corner.top, *(each.place.top for each in pictures))
    return pictures, replace(room, corner=replace(room.corner, left=left, top=top))


def _codes(number: str, stock: LabelStock, dots: int) -> tuple[tuple[MatrixRun, BarRun], Room]:
    """Return both codes along the foot of the label and the room above and beside them."""
    margin, dot = stock.margin_mm, dot_mm(dots)
    box = Place(margin, margin, stock.width_mm - margin, stock.height_mm - margin)
    side, wide = matrix_side_mm(number, dots), code_width_mm(number, dots)
    left = int((box.right - side) / dot) * dot
    if box.left + wide > left or side > box.bottom - box.top:
        raise Overfull(Field.CODE)
    square = matrix(number, left, int((box.bottom - side) / dot) * dot, dots)
    linear = bars(number, box.left, box.bottom - _BAR_HEIGHT_MM, _BAR_HEIGHT_MM, dots)
    room = Room(replace(box, bottom=linear.y_mm - _ABOVE_CODES_MM), square.place)
    return (square, linear), room


def _said(label: ShelfLabel) -> Mapping[Field, str]:
    words = Catalogue(label.language, label.decimal_sign)
    found = {}
    for field, parts in _parts(label):
        texts = (part if isinstance(part, str) else words.text(part) for part in parts)
        text = tidy(" ".join(filter(None, texts)))
        require_printable(text, field)
        if text:
            found[field] = text
    return found


def _parts(label: ShelfLabel) -> Iterator[tuple[Field, Sequence[Message | str]]]:
    if label.sample:
        yield Field.STAMP, [message("label.stamp.sample")]
    yield Field.NAME, [label.name]
    if label.strength is not None:
        yield Field.STRENGTH, [message("label.shelf.strength", strength=label.strength)]
    yield Field.USE_BY, [message("label.shelf.until", day=label.until)]
    yield Field.QUANTITY, [message("label.shelf.size", size=label.size)]
    yield Field.LOT, [message("label.shelf.lot", lot=label.lot)]
    yield Field.NUMBER, [label.number]
    yield Field.STATUS, [label.status]
    yield Field.WARNINGS, [", ".join(label.hazards)]
    received = message("label.shelf.received", day=label.received_on)
    yield Field.MADE_ON, [label.grade, received]
    if label.opened_on is not None:
        yield Field.AFTER_OPENING, [message("label.shelf.opened", day=label.opened_on)]
    yield Field.EXTRA, [label.place]
