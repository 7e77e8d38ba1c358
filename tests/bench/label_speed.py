"""A thousand labels, beside plain ReportLab calls that draw the same glyphs, rules and bars."""

from __future__ import annotations

import io
from collections.abc import Iterable, Sequence
from dataclasses import replace
from datetime import date
from fractions import Fraction

from formulary.formula.content import Period, Span, Storage
from formulary.labels.content import LabelContent
from formulary.labels.drawing import draw
from formulary.labels.layout import lay_out_all
from formulary.labels.page import MM_PER_POINT, BarRun, GlyphRun, MatrixRun, Page, Picture, Rule
from formulary.labels.pictogram import UNIT, shapes_of
from formulary.labels.stock import label_stock
from formulary.quantity.amount import Amount
from tests.bench.measuring import Figure, median_time

LABELS = 1000
DOT_PT = 72 / 25.4 / 8


def _content() -> LabelContent:
    return LabelContent(
        name="Urea cream",
        strength="10 % w/w",
        lot="K26-000001",
        made_on=date(2026, 8, 18),
        use_by=date(2026, 9, 21),
        quantity=Amount(Fraction(60), "g"),
        containers=LABELS,
        directions="Apply thinly to the dry skin twice a day.",
        after_opening=Period(14, Span.DAYS),
        storage=Storage(15, 25),
        warnings=("external_use", "keep_out_of_reach_of_children"),
        house="Rowan Street Pharmacy",
        address=("12 Rowan Street",),
        telephone="01632 960113",
    )


def _contents() -> list[LabelContent]:
    one = _content()
    return [replace(one, lot=f"K26-{n:06d}", container=n) for n in range(1, LABELS + 1)]


def _plain(pages: Sequence[Page]) -> None:
    """Draw the same with nothing but canvas calls, each code encoded anew as we do."""
    from barcode.codex import Code128
    from reportlab.pdfgen.canvas import Canvas

    point = 1 / MM_PER_POINT
    height = pages[0].height_mm
    size = (pages[0].width_mm * point, height * point)
    canvas = Canvas(io.BytesIO(), pagesize=size, pageCompression=1)
    for page in pages:
        for item in page.items:
            if isinstance(item, GlyphRun):
                canvas.setFont(item.font, item.size_pt)
                canvas.drawString(item.x_mm * point, (height - item.y_mm) * point, item.text)
            elif isinstance(item, Rule):
                bottom = (height - item.y_mm - item.height_mm) * point
                canvas.rect(
                    item.x_mm * point,
                    bottom,
                    item.width_mm * point,
                    item.height_mm * point,
                    stroke=0,
                    fill=1,
                )
            elif isinstance(item, BarRun):
                _plain_bars(canvas, Code128(item.data).build()[0], item, height)
            elif isinstance(item, MatrixRun):
                _plain_square(canvas, item, height)
            elif isinstance(item, Picture):
                _plain_picture(canvas, item, height)
        canvas.showPage()
    canvas.save()


def _plain_picture(canvas: object, item: Picture, height: float) -> None:
    from reportlab.pdfgen.canvas import Canvas

    if not isinstance(canvas, Canvas):
        raise TypeError("pictograms are drawn on a canvas")
    unit, point = item.side_mm / UNIT, 1 / MM_PER_POINT
    for shape in shapes_of(item.name):
        canvas.setFillGray(0 if shape.ink else 1)
        path = canvas.beginPath()
        for number, step in enumerate(((shape.start,), *shape.steps)):
            at = [
                ((item.x_mm + x * unit) * point, (height - item.y_mm - y * unit) * point)
                for x, y in step
            ]
            if len(at) > 1:
                path.curveTo(*at[0], *at[1], *at[2])
            elif number:
                path.lineTo(*at[0])
            else:
                path.moveTo(*at[0])
        canvas.drawPath(path, stroke=0, fill=1)
    canvas.setFillGray(0)


def _plain_square(canvas: object, item: MatrixRun, height: float) -> None:
    from reportlab.pdfgen.canvas import Canvas
    from zxingcpp import BarcodeFormat, create_barcode

    if not isinstance(canvas, Canvas):
        raise TypeError("squares are drawn on a canvas")
    made = create_barcode(item.data, BarcodeFormat.DataMatrix, forceSquare=True)
    made.to_image(scale=1, add_quiet_zones=False)
    point, path = 1 / MM_PER_POINT, canvas.beginPath()
    for left, top, wide, high in item.dark():
        up = height - top - high
        path.rect(left * point, up * point, wide * point, high * point)
    canvas.drawPath(path, stroke=0, fill=1)


def _plain_bars(canvas: object, modules: str, item: BarRun, height: float) -> None:
    from reportlab.pdfgen.canvas import Canvas

    if not isinstance(canvas, Canvas):
        raise TypeError("bars are drawn on a canvas")
    point = 1 / MM_PER_POINT
    path, left = canvas.beginPath(), item.bars[0][0] * point
    bottom = (height - item.y_mm - item.height_mm) * point
    start = 0
    while start < len(modules):
        end = start
        while end < len(modules) and modules[end] == modules[start]:
            end += 1
        if modules[start] == "1":
            path.rect(
                left + start * DOT_PT * 2,
                bottom,
                (end - start) * DOT_PT * 2,
                item.height_mm * point,
            )
        start = end
    canvas.drawPath(path, stroke=0, fill=1)


def figures() -> Iterable[Figure]:
    """Yield the time of laying out and drawing a thousand labels in one PDF."""
    stock, contents = label_stock("100x50"), _contents()
    pages = list(lay_out_all(contents, stock))

    def ours() -> None:
        draw(lay_out_all(contents, stock), io.BytesIO(), title="bench")

    floor = median_time(lambda: _plain(pages), runs=5)
    yield Figure("1000 labels 100x50 in one PDF", "ms", median_time(ours, runs=5), floor, "<= 1.5x")
