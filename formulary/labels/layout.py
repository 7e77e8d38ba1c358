"""A label's content on a stock: the page, or a refusal that names what doesn't fit.

Nothing is ever cut, overlapped or set smaller than its least size.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import replace
from typing import TypeAlias

from formulary.errors import Refusal
from formulary.labels.arrange import Overfull
from formulary.labels.barcode import bars
from formulary.labels.content import FROM_THE_RIGHT, LabelContent, jar_of
from formulary.labels.data_matrix import data_matrix
from formulary.labels.face import Face, set_face
from formulary.labels.overflow import Overflow, parts_of
from formulary.labels.page import BarRun, Field, GlyphRun, Item, MatrixRun, Page
from formulary.labels.parts import FIELDS, Part
from formulary.labels.pictures import Pictogram, must_show, pictograms_for
from formulary.labels.plan import SMALLEST_PT, Floor, Series, scale_series
from formulary.labels.stock import LabelStock, label_stocks
from formulary.labels.wording import statement, statements
from formulary.messages import Message, message
from formulary.wording.label_profile import label_profile


class DoesNotFit(Refusal):
    """``field`` has no room on ``stock``; ``fits`` is the smallest larger stock that has it all.

    ``ways`` are what else may be chosen on the same stock: a second label, a leaflet. With a
    ``part`` that was chosen, and it doesn't help.
    """

    def __init__(
        self,
        field: Field,
        stock: LabelStock,
        fits: LabelStock | None,
        ways: tuple[Overflow, ...] = (),
        part: Part = Part.WHOLE,
    ) -> None:
        super().__init__(_no_room(field, stock, fits, ways, part))
        self.field = field
        self.stock = stock
        self.fits = fits
        self.ways = ways


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
    larger = stock.larger(others or label_stocks())
    fits = _smallest_that_fits(content, larger, dots)
    raise DoesNotFit(found, stock, fits, _ways(content, stock, dots), content.part)


def _ways(content: LabelContent, stock: LabelStock, dots_per_inch: int) -> tuple[Overflow, ...]:
    """Return what lets a whole label fit the stock: only what has all its parts fit."""
    if content.part is not Part.WHOLE:
        return ()
    return tuple(
        way
        for way in (Overflow.SECOND_LABEL, Overflow.LEAFLET)
        if all(
            isinstance(room_for(part, stock, dots_per_inch), Page)
            for part in parts_of(content, way)
        )
    )


Lay: TypeAlias = Callable[[LabelContent, LabelStock, int], Page]
"""How one label is laid out: by the program, or by a layout of the house."""


def lay_out_all(
    contents: Iterable[LabelContent],
    stock: LabelStock,
    dots_per_inch: int | None = None,
    lay: Lay = lay_out,
) -> Iterator[Page]:
    """Yield a page for each content.

    Labels that differ only in digits of the lot or in the container's number share one layout:
    all digits are equally wide.
    """
    done: dict[LabelContent, tuple[_Counted, Page]] = {}
    dots = dots_per_inch or stock.dots_per_inch
    for content in contents:
        pattern, counted = _pattern(content), _counted(content)
        page = _set_again(*done[pattern], counted, content, dots) if pattern in done else None
        if page is None:
            page = lay(content, stock, dots)
            done[pattern] = counted, page
        yield page


def _first_fit(content: LabelContent, stock: LabelStock, dots_per_inch: int) -> Page | Field:
    """Return the page in the first scale that fits, or what had no room in the smallest.

    The lot's bars give way where a label has much to say: the square code holds the lot too. So do
    pictograms, which repeat what is said.
    """
    series = _series(content, stock)
    face = _tightest(content, stock, dots_per_inch)
    tightest = _tried(face)
    if isinstance(tightest, Field):
        return tightest
    for linear, pictograms in _extras(content):
        for steps in series:
            found = _largest(replace(face, linear=linear, pictograms=pictograms), steps)
            if found is not None:
                return found
    return tightest


def _extras(content: LabelContent) -> Iterator[tuple[bool, tuple[Pictogram, ...]]]:
    """Yield whether bars and which pictograms there are: both give way, pictograms first."""
    found = pictograms_for(content)
    choices = (found, ()) if found and not must_show(content) else (found,)
    return ((linear, pictograms) for linear in (True, False) for pictograms in choices)


def room_for(
    content: LabelContent, stock: LabelStock, dots_per_inch: int | None = None
) -> Page | Field:
    """Return the page in the smallest type and without bars, or what has no room even so.

    Raises a :class:`formulary.errors.Refusal` for what can't be said.
    """
    return _tried(_tightest(content, stock, dots_per_inch or stock.dots_per_inch))


def _tightest(content: LabelContent, stock: LabelStock, dots_per_inch: int) -> Face:
    order = label_profile(content.profile).order
    return Face(
        said=statements(content),
        jar=jar_of(content),
        stock=stock,
        dots_per_inch=dots_per_inch,
        scale=_series(content, stock)[-1][-1][-1],
        linear=False,
        order=tuple(dict.fromkeys(FIELDS[each] for each in order)),
        pictograms=pictograms_for(content) if must_show(content) else (),
        from_right=content.language in FROM_THE_RIGHT,
    )


def _series(content: LabelContent, stock: LabelStock) -> tuple[Series, ...]:
    return tuple(scale_series(stock, floor_for(content)))


def _largest(face: Face, steps: Series) -> Page | None:
    """Return the page at the first step that fits, or None: later ones need less room each."""
    fitting: dict[int, Page] = {}

    def fits(step: int) -> bool:
        tried = (_tried(replace(face, scale=scale)) for scale in steps[step])
        found = next((page for page in tried if isinstance(page, Page)), None)
        if found is not None:
            fitting[step] = found
        return found is not None

    if not fits(len(steps) - 1):
        return None
    return fitting[bisect_left(range(len(steps) - 1), 1, key=lambda step: int(fits(step)))]


def _tried(face: Face) -> Page | Field:
    try:
        return set_face(face)
    except Overfull as trouble:
        return trouble.field


def floor_for(content: LabelContent) -> Floor:
    """Return the least type that a label's jurisdiction asks for."""
    profile = label_profile(content.profile)
    small = profile.small
    if (
        small is not None
        and content.part is Part.WITH_LEAFLET
        and profile.is_small(content.quantity)
    ):
        return Floor(small.essential_pt, profile.small_pt or SMALLEST_PT, small=True)
    return Floor(profile.essential_pt, profile.small_pt)


def _smallest_that_fits(
    content: LabelContent, stocks: Iterable[LabelStock], dots_per_inch: int
) -> LabelStock | None:
    fitting = (s for s in stocks if isinstance(room_for(content, s, dots_per_inch), Page))
    return next(fitting, None)


def _no_room(
    field: Field,
    stock: LabelStock,
    fits: LabelStock | None,
    ways: tuple[Overflow, ...],
    part: Part,
) -> Message:
    what = message(f"label.field.{field}")
    if fits is None:
        said = message("label.fits_nowhere", field=what, stock=stock.code)
    else:
        said = message("label.does_not_fit", field=what, stock=stock.code, fits=fits.code)
    if not ways:
        return no_help(said, part)
    return message("label.other_ways", sentence=said, ways=tuple(way.said for way in ways))


def no_help(said: Message, part: Part) -> Message:
    """Return why a label has no room; where one of its parts hasn't, first that it doesn't help."""
    if part is Part.WHOLE:
        return said
    key = "leaflet" if part is Part.WITH_LEAFLET else "second_label"
    return message(f"label.no_help.{key}", sentence=said)


# What these fields say, which is all that counts up from one label of a run to the next.
_Counted: TypeAlias = Mapping[Field, str]
_COUNTED = (Field.LOT, Field.CONTAINER, Field.BESIDE)
_ZEROS = str.maketrans("123456789", "000000000")


def _pattern(content: LabelContent) -> LabelContent:
    """Return the content with every digit that doesn't change the layout set to the same."""
    return replace(
        content,
        lot=content.lot.translate(_ZEROS),
        container=10 ** (len(str(content.container)) - 1),
    )


def _counted(content: LabelContent) -> _Counted:
    return {field: statement(content, field) for field in _COUNTED}


def _set_again(
    before: _Counted, page: Page, now: _Counted, content: LabelContent, dots_per_inch: int
) -> Page | None:
    """Return the page with another lot and number, or None if either is broken over two lines."""
    items: list[Item] = []
    for item in page.items:
        if isinstance(item, BarRun):
            items.append(bars(content.lot, item.x_mm, item.y_mm, item.height_mm, dots_per_inch))
        elif isinstance(item, MatrixRun):
            square = data_matrix(
                jar_of(content), item.x_mm, item.y_mm, dots_per_inch, item.module_mm
            )
            if square.side_mm != item.side_mm:
                return None
            items.append(square)
        elif not isinstance(item, GlyphRun) or item.field not in _COUNTED:
            items.append(item)
        elif item.text == before[item.field]:
            items.append(replace(item, text=now[item.field]))
        else:
            return None
    return replace(page, items=tuple(items))
