"""Contents to pages as one printer needs them: its dots, and everything moved by its offset."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from decimal import Decimal, InvalidOperation
from fractions import Fraction

from formulary.catalogue import Catalogue
from formulary.errors import BadText
from formulary.house import Printer
from formulary.labels.calibration import calibration_pages
from formulary.labels.content import LabelContent
from formulary.labels.design import Design
from formulary.labels.designed import lay_out_by
from formulary.labels.layout import Lay, lay_out, lay_out_all
from formulary.labels.page import Page, shifted
from formulary.labels.sheet import on_sheets
from formulary.labels.stock import LabelStock
from formulary.messages import message


def label_pages(
    contents: Iterable[LabelContent],
    stock: LabelStock,
    printer: Printer | None = None,
    start: int = 1,
    design: Design | None = None,
) -> list[Page]:
    """Return one page per content, or sheets of several from the place ``start`` on.

    A ``design`` is the house's own layout for that stock.

    Raises what :func:`formulary.labels.layout.lay_out`, :func:`formulary.labels.sheet.on_sheets`
    and :func:`formulary.labels.page.shifted` raise, and BadText for an offset that is no number.
    """
    return on_paper(faces(contents, stock, printer, design), stock, printer, start)


def faces(
    contents: Iterable[LabelContent],
    stock: LabelStock,
    printer: Printer | None = None,
    design: Design | None = None,
) -> list[Page]:
    """Return the face of each label; raises as :func:`label_pages` does."""
    return list(lay_out_all(contents, stock, _dots(printer), lay_by(design)))


def on_paper(
    labels: Sequence[Page], stock: LabelStock, printer: Printer | None = None, start: int = 1
) -> list[Page]:
    """Return labels as they run through the printer; raises as :func:`label_pages` does."""
    return moved_for(printer, on_sheets(labels, stock, start, _dots(printer)))


def _dots(printer: Printer | None) -> int | None:
    return None if printer is None else printer.dots_per_inch


def lay_by(design: Design | None) -> Lay:
    """Return how labels are laid out: by the house's own layout where there is one."""
    if design is None:
        return lay_out
    return lambda content, _, dots: lay_out_by(design, content, dots)


def calibration(stock: LabelStock, words: Catalogue, printer: Printer | None = None) -> list[Page]:
    """Return the calibration page as the printer makes it, its present offset already applied.

    Raises as :func:`label_pages` does.
    """
    across, down = (Fraction(str(side)) / 2 for side in (stock.width_mm, stock.height_mm))
    above = message("label.calibration.above", stock=stock.code, across=across, down=down)
    said = (words.text(above), words.text("label.calibration.below"))
    return moved_for(printer, calibration_pages(stock, said, _dots(printer)))


def moved_for(printer: Printer | None, pages: Iterable[Page]) -> list[Page]:
    """Return pages moved by a printer's offset; raises as :func:`label_pages` does."""
    if printer is None:
        return list(pages)
    right = _millimetres(printer.offset_right_mm)
    down = _millimetres(printer.offset_down_mm)
    return [shifted(page, right, down) for page in pages]


def _millimetres(typed: str) -> float:
    try:
        offset = Decimal(typed or "0")
    except InvalidOperation as trouble:
        raise BadText(message("label.bad_offset", typed=typed)) from trouble
    if not offset.is_finite():
        raise BadText(message("label.bad_offset", typed=typed))
    return float(offset)
