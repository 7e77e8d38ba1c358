"""Printing where there is no CUPS: the finished PDF as the printer's own dots, through Qt."""

from __future__ import annotations

from PySide6.QtCore import QMarginsF, QRectF, QSizeF
from PySide6.QtGui import QPageLayout, QPageSize, QPainter
from PySide6.QtPrintSupport import QPrinter

from formulary.errors import Refusal
from formulary.house import Printer
from formulary.labels.raster import rasterise
from formulary.messages import message
from ui.labels.canvas import image_of
from ui.papers.system_printer import Medium, PrintJob


def print_as_dots(job: PrintJob, printer: Printer) -> None:
    """Print every page of the PDF at the printer's resolution. Raises a Refusal if it won't."""
    target = _page_device(printer, job.medium)
    target.setCopyCount(job.copies)
    painter = QPainter()
    if not painter.begin(target):
        raise Refusal(message(f"{job.area}.printer_silent", printer=printer.name))
    try:
        for number in range(job.pages):
            if number:
                target.newPage()
            raster = rasterise(job.pdf, number, target.resolution())
            painter.drawImage(QRectF(0, 0, raster.width, raster.height), image_of(raster))
    finally:
        painter.end()


def _page_device(printer: Printer, medium: Medium) -> QPrinter:
    target = QPrinter(QPrinter.PrinterMode.HighResolution)
    target.setPrinterName(printer.queue)
    target.setResolution(printer.dots_per_inch)
    size = QPageSize(QSizeF(medium.width_mm, medium.height_mm), QPageSize.Unit.Millimeter)
    target.setPageLayout(QPageLayout(size, QPageLayout.Orientation.Portrait, QMarginsF(0, 0, 0, 0)))
    target.setFullPage(True)
    return target
