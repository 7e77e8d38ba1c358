"""Pages to PDF: a loop over things that already have their places."""

from __future__ import annotations

import os
import tempfile
from collections.abc import Iterable, Iterator, Sequence
from datetime import datetime, timedelta
from io import BytesIO
from pathlib import Path
from typing import TYPE_CHECKING, BinaryIO

from formulary.labels.metrics import widths
from formulary.labels.page import (
    MM_PER_POINT,
    UNSAID,
    BarRun,
    Bookmark,
    GlyphRun,
    Item,
    MatrixRun,
    Origin,
    Page,
    Picture,
    Rule,
)
from formulary.labels.pictogram import UNIT, Point, shapes_of

if TYPE_CHECKING:
    from reportlab.pdfgen.canvas import Canvas

_POINTS = 1 / MM_PER_POINT


def draw(
    pages: Iterable[Page],
    out: Path | BinaryIO,
    *,
    title: str,
    bookmarks: Sequence[Bookmark] = (),
    origin: Origin = UNSAID,
) -> None:
    """Write the pages as one PDF, each page of its label's size.

    ``title`` and ``origin`` go into the file's properties: they name the preparation and the house,
    never a person. A path is written whole or not at all. The same pages, title and origin give
    the same bytes.
    """
    pdf = pdf_bytes(pages, title=title, bookmarks=bookmarks, origin=origin)
    if isinstance(out, Path):
        _replace_file(out, pdf)
    else:
        out.write(pdf)


def pdf_bytes(
    pages: Iterable[Page],
    *,
    title: str,
    bookmarks: Sequence[Bookmark] = (),
    origin: Origin = UNSAID,
) -> bytes:
    """Return the PDF that :func:`draw` writes."""
    from reportlab.pdfgen.canvas import Canvas

    held = BytesIO()
    canvas = Canvas(held, invariant=1, pageCompression=1)
    canvas.setTitle(title)
    canvas.setCreator("Misce")
    canvas.setAuthor(origin.house)
    canvas.setSubject("")
    # Without a formatter ReportLab gives every file that is to be the same again a false date.
    canvas.setDateFormatter(lambda *_: _date(origin.at))
    for number, page in enumerate(pages):
        _mark(canvas, (each for each in bookmarks if each.page == number))
        _draw_page(canvas, page)
    if bookmarks:
        canvas.showOutline()
    canvas.save()
    return held.getvalue()


def _date(at: datetime | None) -> str:
    """Return a date as PDF writes it (ISO 32000-1, 7.9.4)."""
    if at is None:
        return ""
    minutes = round((at.utcoffset() or timedelta()).total_seconds() / 60)
    hours, rest = divmod(abs(minutes), 60)
    return f"D:{at:%Y%m%d%H%M%S}{'-' if minutes < 0 else '+'}{hours:02}'{rest:02}'"


def _mark(canvas: Canvas, bookmarks: Iterable[Bookmark]) -> None:
    for number, each in enumerate(bookmarks):
        key = f"{each.page}-{number}"
        canvas.bookmarkPage(key)
        canvas.addOutlineEntry(each.title, key, each.level)


def _draw_page(canvas: Canvas, page: Page) -> None:
    canvas.setPageSize((page.width_mm * _POINTS, page.height_mm * _POINTS))
    _fill_rectangles(canvas, page)
    _draw_pictures(canvas, page)
    _set_text(canvas, page)
    canvas.showPage()


def _fill_rectangles(canvas: Canvas, page: Page) -> None:
    path = canvas.beginPath()
    for left, top, width, height in _rectangles(page.items):
        up = page.height_mm - top - height
        path.rect(left * _POINTS, up * _POINTS, width * _POINTS, height * _POINTS)
    canvas.drawPath(path, stroke=0, fill=1)


def _rectangles(items: Iterable[Item]) -> Iterator[tuple[float, float, float, float]]:
    for item in items:
        if isinstance(item, Rule):
            yield item.x_mm, item.y_mm, item.width_mm, item.height_mm
        elif isinstance(item, BarRun):
            for left, width in item.bars:
                yield left, item.y_mm, width, item.height_mm
        elif isinstance(item, MatrixRun):
            yield from item.dark()


def _draw_pictures(canvas: Canvas, page: Page) -> None:
    """Draw pictograms; each kind is described once in a file and then only placed."""
    for picture in page.items:
        if isinstance(picture, Picture):
            if not canvas.hasForm(picture.name):
                _describe(canvas, picture.name)
            unit = picture.side_mm / UNIT * _POINTS
            up = page.height_mm - picture.place.bottom
            canvas.saveState()
            canvas.transform(unit, 0, 0, unit, picture.x_mm * _POINTS, up * _POINTS)
            canvas.doForm(picture.name)
            canvas.restoreState()


def _describe(canvas: Canvas, name: str) -> None:
    """Describe a pictogram in its own square, which PDF measures from the bottom."""
    canvas.beginForm(name, 0, 0, UNIT, UNIT)
    for shape in shapes_of(name):
        canvas.setFillGray(0 if shape.ink else 1)
        path = canvas.beginPath()
        path.moveTo(*_upward(shape.start))
        for step in shape.steps:
            if len(step) == 1:
                path.lineTo(*_upward(step[0]))
            else:
                path.curveTo(*_upward(step[0]), *_upward(step[1]), *_upward(step[2]))
        path.close()
        canvas.drawPath(path, stroke=0, fill=1)
    canvas.endForm()


def _upward(point: Point) -> Point:
    return point[0], UNIT - point[1]


def _set_text(canvas: Canvas, page: Page) -> None:
    text = canvas.beginText()
    font, inverse = ("", 0.0), False
    for run in page.items:
        if not isinstance(run, GlyphRun):
            continue
        if (run.font, run.size_pt) != font:
            font = (run.font, run.size_pt)
            widths(run.font)  # registers it
            text.setFont(*font)
        if run.inverse is not inverse:
            inverse = run.inverse
            text.setFillGray(1 if inverse else 0)
        text.setTextOrigin(run.x_mm * _POINTS, (page.height_mm - run.y_mm) * _POINTS)
        text.textOut(run.text)
    canvas.drawText(text)


def _replace_file(path: Path, content: bytes) -> None:
    """Write beside the file, then put the new one in its place."""
    number, beside = tempfile.mkstemp(dir=path.parent, prefix=f".{path.name}.")
    try:
        with os.fdopen(number, "wb") as file:
            file.write(content)
        Path(beside).replace(path)
    except BaseException:
        Path(beside).unlink(missing_ok=True)
        raise
