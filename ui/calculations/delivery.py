"""Where a working goes: to the clipboard, to a printer, or into a PDF."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import QRectF
from PySide6.QtGui import QGuiApplication, QPainter
from PySide6.QtPrintSupport import QPrinter

from formulary.desk import Desk
from formulary.errors import Refusal
from formulary.labels.raster import rasterise
from formulary.messages import message
from formulary.papers.done_sum import Sum
from ui.files import writing_to
from ui.labels.canvas import image_of

MOST_DOTS_PER_INCH = 300
"""More makes a page slow to print and no easier to read."""


def copy(text: str) -> None:
    """Put a text on the clipboard."""
    QGuiApplication.clipboard().setText(text)


def pages_as_pdf(desk: Desk, done: Sum) -> tuple[bytes, int]:
    """Return the record of a working as it stands now, and how many pages it has."""
    from formulary.labels.drawing import pdf_bytes
    from formulary.papers.printed import made_here, printed_now
    from formulary.papers.working_paper import working_pages

    pages = working_pages(desk.house, done, printed_now(desk))
    return pdf_bytes(pages, title=done.title, origin=made_here(desk)), len(pages)


def print_on(printer: QPrinter, title: str, pdf: bytes, count: int) -> None:
    """Print the pages on the printer that was chosen. Raises a Refusal if it won't."""
    printer.setDocName(title)
    printer.setFullPage(True)
    painter = QPainter()
    if not painter.begin(printer):
        raise Refusal(message("ui_calculations.cannot_print", printer=printer.printerName()))
    try:
        for number in range(count):
            if number:
                printer.newPage()
            raster = rasterise(pdf, number, min(printer.resolution(), MOST_DOTS_PER_INCH))
            painter.drawImage(QRectF(painter.viewport()), image_of(raster))
    finally:
        painter.end()


def write_pdf(place: Path, pdf: bytes) -> None:
    """Write a working as a PDF. Raises a Refusal where that can't be."""
    with writing_to(place):
        place.write_bytes(pdf)
