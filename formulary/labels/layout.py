"""A label's content on a stock: the page, or a refusal that names what doesn't fit.

Nothing is ever cut, overlapped or set smaller than its least size.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace

from formulary.errors import Refusal
from formulary.labels.arrange import Overfull
from formulary.labels.barcode import bars
from formulary.labels.content import LabelContent
from formulary.labels.face import Face, set_face
from formulary.labels.page import BarRun, Field, GlyphRun, Item, Page
from formulary.labels.plan import scales
from formulary.labels.stock import LabelStock, label_stocks
from formulary.labels.wording import statement, statements
from formulary.messages import Message, message


class DoesNotFit(Refusal):
    """``field`` has no room on ``stock``; ``fits`` is the smallest larger stock that has it all."""

    def __init__(self, field: Field, stock: LabelStock, fits: LabelStock | None) -> None:
        super().__init__(_no_room(field, stock, fits))
        self.field = field
        self.stock = stock
        self.fits = fits


def lay_out(
    content: LabelContent,
    stock: LabelStock,
    dots_per_inch: int | None = None,
    others: Iterable[LabelStock] | None = None,
) -> Page:
    """Return the label in the largest type that fits; ``others`` may be suggested instead.

    Raises :class:`DoesNotFit`, or another :class:`formulary.errors.Refusal` for what can't be
    said (an unknown warning, a character without a glyph, a lot that no code holds).
    """
    dots = dots_per_inch or stock.dots_per_inch
    found = _first_fit(content, stock, dots)
    if isinstance(found, Page):
        return found
    larger = [other for other in others or label_stocks() if other.area > stock.area]
    raise DoesNotFit(found, stock, _smallest_that_fits(content, larger, dots))


def lay_out_all(
    contents: Iterable[LabelContent], stock: LabelStock, dots_per_inch: int | None = None
) -> Iterator[Page]:
    """Yield a page for each content.

    Labels that differ only in digits of the lot or in the container's number share one layout:
    all digits are equally wide.
    """
    done: dict[LabelContent, tuple[LabelContent, Page]] = {}
    dots = dots_per_inch or stock.dots_per_inch
    for content in contents:
        pattern = _pattern(content)
        known = done.get(pattern)
        page = _set_again(known, content, dots) if known else None
        if page is None:
            page = lay_out(content, stock, dots)
            done[pattern] = (content, page)
        yield page


def _first_fit(content: LabelContent, stock: LabelStock, dots_per_inch: int) -> Page | Field:
    """Return the page in the first scale that fits, or what had no room in the smallest."""
    said = statements(content)
    lacking = Field.NAME
    for scale in scales(stock):
        try:
            return set_face(Face(said, content.lot, stock, dots_per_inch, scale))
        except Overfull as trouble:
            lacking = trouble.field
    return lacking


def _smallest_that_fits(
    content: LabelContent, stocks: Iterable[LabelStock], dots_per_inch: int
) -> LabelStock | None:
    by_area = sorted(stocks, key=lambda stock: stock.area)
    fitting = (s for s in by_area if isinstance(_first_fit(content, s, dots_per_inch), Page))
    return next(fitting, None)


def _no_room(field: Field, stock: LabelStock, fits: LabelStock | None) -> Message:
    what = message(f"label.field.{field}")
    if fits is None:
        return message("label.fits_nowhere", field=what, stock=stock.code)
    return message("label.does_not_fit", field=what, stock=stock.code, fits=fits.code)


_ZEROS = str.maketrans("123456789", "000000000")


def _pattern(content: LabelContent) -> LabelContent:
    """Return the content with every digit that doesn't change the layout set to the same."""
    return replace(
        content,
        lot=content.lot.translate(_ZEROS),
        container=10 ** (len(str(content.container)) - 1),
    )


def _set_again(
    known: tuple[LabelContent, Page], content: LabelContent, dots_per_inch: int
) -> Page | None:
    """Return a known page with this content's lot and number, or None if they stand elsewhere."""
    before, page = known
    new = {
        statement(before, field): (field, statement(content, field))
        for field in (Field.LOT, Field.CONTAINER)
    }
    replaced = tuple(_renewed(item, new, content.lot, dots_per_inch) for item in page.items)
    if any(item is None for item in replaced):
        return None
    return replace(page, items=tuple(item for item in replaced if item is not None))


def _renewed(
    item: Item, new: dict[str, tuple[Field, str]], lot: str, dots_per_inch: int
) -> Item | None:
    if isinstance(item, BarRun):
        return bars(lot, item.x_mm, item.y_mm, item.height_mm, dots_per_inch)
    if isinstance(item, GlyphRun) and item.field in {Field.LOT, Field.CONTAINER}:
        field, text = new.get(item.text, (Field.NONE, ""))
        return replace(item, text=text) if field is item.field else None
    return item
