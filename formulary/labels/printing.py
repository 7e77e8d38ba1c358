"""Contents to a printer's PDF, in one call."""

from __future__ import annotations

from collections.abc import Iterable
from decimal import Decimal, InvalidOperation
from pathlib import Path
from typing import BinaryIO

from formulary.errors import BadText
from formulary.house import Printer
from formulary.labels.content import LabelContent
from formulary.labels.drawing import draw
from formulary.labels.layout import lay_out_all
from formulary.labels.page import Page, shifted
from formulary.labels.stock import LabelStock
from formulary.messages import message


def label_pdf(
    contents: Iterable[LabelContent],
    stock: LabelStock,
    out: Path | BinaryIO,
    *,
    title: str,
    printer: Printer | None = None,
) -> int:
    """Write one label per content and return how many; nothing is written if one doesn't fit.

    Raises what :func:`formulary.labels.layout.lay_out` and
    :func:`formulary.labels.page.shifted` raise.
    """
    pages = label_pages(contents, stock, printer)
    draw(pages, out, title=title)
    return len(pages)


def label_pages(
    contents: Iterable[LabelContent], stock: LabelStock, printer: Printer | None = None
) -> list[Page]:
    """Return the pages for a printer: its dots, and everything moved by its offset."""
    if printer is None:
        return list(lay_out_all(contents, stock))
    right = _millimetres(printer.offset_right_mm)
    down = _millimetres(printer.offset_down_mm)
    pages = lay_out_all(contents, stock, printer.dots_per_inch)
    return [shifted(page, right, down) for page in pages]


def _millimetres(typed: str) -> float:
    try:
        return float(Decimal(typed or "0"))
    except InvalidOperation as trouble:
        raise BadText(message("label.bad_offset", typed=typed)) from trouble
